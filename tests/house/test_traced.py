"""Every number that an answer shows can be traced: what it rests on stands beside it.

The answers looked at are the examples of the API's description, which tests hold the program to.
"""

from collections.abc import Iterator
from typing import Any

import pytest

from tests.house.routes import api_routes

pytestmark = pytest.mark.guard

# Reports that compute something, and where in their answers their inputs stand.
TRACED = {
    "examination-centre-centres": {"centres.friction", "centres.swings", "centres.pin_diameter_um"},
    "examination-diagnosis-diagnosis": {
        *("rests_on.findings_count", "rests_on.check_results_count", "rests_on.complaint"),
        *("rests_on.age_years", "rests_on.cases", "rests_on.cases_behind_weights"),
        *("room.readings_count", "spreads.family", "notes.causes.reasons"),
    },
    "examination-next-checks-next-checks": {
        *("sure_percent", "opened", "checks.minutes", "checks.set_up_minutes", "checks.reason"),
    },
    "examination-plans-plans": {
        *("rests_on.room", "rests_on.cure_rate.followed", "rests_on.cure_rate.estimate"),
        *("rests_on.hour", "rests_on.travel", "rests_on.minimum", "rests_on.settle_days"),
    },
    "examination-spread-spread": {"examined_count", "examined", "families.affected"},
    "examination-touch-touch": {"notes.values.value_g", "ranges.low", "ranges.published_in"},
    "examination-work-estimate": {
        *("remedies.times", "remedies.catalogue_minutes", "remedies.own_minutes"),
        *("set_up.minutes", "catalogue_weight", "quotes_by_bench_work"),
    },
    "examination-work-kit": {
        *("action", "centres", "confidence", "sizes.share", "sizes.fitted", "known_pins"),
        *("prior_weight_pins", "most_weight_pins"),
    },
    "examination-work-sheet-work-sheet": {"complaint", "sure_percent", "levels.checks.reason"},
    "instrument-room-room": {
        *("limits.target_percent", "days.lowest_humidity_percent", "verdict.evidence"),
        *("movement.species", "movement.source", "movement.width_mm"),
    },
    "pin-sizes": {"measured_um"},
    "pin-trial": {"trials.size", "trials.fit"},
    "place-packing-packing-list": {
        *("starts_on", "ends_on", "technician", "approval_chance", "visits.pianos.centres"),
        *("parts.in_approved_bags", "parts.in_offered_bags", "parts.in_van_quantity"),
        *("parts.on_shelf_quantity", "pins.confidence", "pins.known.share", "pins.known.fitted"),
    },
    "remedy-minutes": {"catalogue_weight", "items.own_times", "items.catalogue_expected_minutes"},
}
# Reports without a formula of the trade, and what their numbers are.
COUNTED = {
    "aged-receivables": "sums of the books of money",
    "bank-statement-proposals": "rows with points, and what each point is for in `reasons`",
    "client-statement-statement": "sums of the books of money",
    "cure-report": "counts of findings",
    "examination-comparison-comparison": "findings of two examinations beside each other",
    "instrument-history": "rows as they were recorded",
    "job-margins": "sums of invoices, of the ledger and of bench work",
    "journal": "sums of the books of money",
    "price-book": "prices as they were set",
    "purchase-order-sheet": "an order's lines",
    "quote-parts-used-parts-used": "sums of the ledger",
    "quote-work-work": "sums of bench work beside the minutes quoted, which stand there with PERT",
    "reminder-due": "sums of the books of money, and interest by the rule that `note` names",
    "reorder-report": "each number with its formula in words, in `reasons`",
    "reorder-report-by-supplier": "the same by supplier",
    "sales-summary": "sums of invoices and credit notes",
    "statement-entry-proposals": "rows with points, and what each point is for in `reasons`",
    "stock-account": "sums of the ledger",
    "stock-value": "sums of the ledger",
}


def reports() -> dict[str, Any]:
    """The views of all GET routes that do not just give rows or a file, or draw."""
    views = {
        route.name: route.view("GET")
        for route in api_routes()
        if route.actions.get("GET", "list") not in {"list", "retrieve", "export"}
    }
    return {name: view for name, view in views.items() if not (view.draws or view.is_file)}


def at(value: Any, path: list[str]) -> Iterator[Any]:
    """Yield what stands at a path, in each item where there is a list on the way."""
    if isinstance(value, list):
        for each in value:
            yield from at(each, path)
    elif not path:
        yield value
    elif isinstance(value, dict) and path[0] in value:
        yield from at(value[path[0]], path[1:])


def formulas(value: Any) -> Iterator[Any]:
    """Yield what stands under `formula` and `formulas`, wherever in an answer."""
    if isinstance(value, dict):
        for name, each in value.items():
            if name in {"formula", "formulas"}:
                yield from each if isinstance(each, list) else [each]
            else:
                yield from formulas(each)
    elif isinstance(value, list):
        for each in value:
            yield from formulas(each)


def test_every_report_is_traced_or_said_why_not():
    assert set(reports()) == TRACED.keys() | COUNTED.keys()
    assert TRACED.keys().isdisjoint(COUNTED)


@pytest.mark.parametrize("name", TRACED)
def test_an_answer_carries_its_inputs_and_its_formulas_with_their_sources(name):
    answer = reports()[name].example
    found = list(formulas(answer))
    assert found
    assert all(set(each) == {"name", "source"} and all(each.values()) for each in found)
    missing = [
        path
        for path in sorted(TRACED[name])
        if not (list(at(answer, path.split("."))) or holds_empty(answer, path.split(".")))
    ]
    assert missing == []


def holds_empty(answer: Any, path: list[str]) -> bool:
    """Return whether the last member of a path is there as an empty list."""
    holders = at(answer, path[:-1]) if path[:-1] else iter([answer])
    return any(isinstance(each, dict) and each.get(path[-1]) == [] for each in holders)
