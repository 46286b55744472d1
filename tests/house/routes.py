"""The routes under /api/v1, as the URL resolver has them, and a row for each to work on."""

import itertools
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from types import SimpleNamespace
from typing import Any

from django.db.models import Model
from django.urls import URLPattern, URLResolver, get_resolver
from django.utils import timezone

from billing.models import Fee, FeeKind, LabourRate, LedgerAccount, Quote
from shop.http.views import ShopViewSet
from shop.models import Level, MoveReason, ShopProfile
from tests.factories import billing, counting, diagnostics, payments, purchasing, reminders, shop
from tests.factories.changes import QuoteChangePartFactory

METHODS = ("GET", "POST", "PUT", "PATCH", "DELETE", "TRACE")
PREFIX = "api/v1/"
numbers = itertools.count()


@dataclass(frozen=True)
class Route:
    """A path, with a name in braces for each of its variables, and the action of each method."""

    name: str
    template: str
    actions: dict[str, str]
    view_class: type[ShopViewSet]
    view_options: dict[str, Any]

    @property
    def noun(self) -> str:
        return self.view_options.get("basename", self.name)

    @property
    def names_a_row(self) -> bool:
        return "{" in self.template

    @property
    def methods_with_a_body(self) -> list[str]:
        return [method for method in self.actions if method in {"POST", "PATCH"}]

    def path_of(self, row: Model | None) -> str:
        names = re.findall(r"{(\w+)}", self.template)
        return self.template.format(**{name: getattr(row, name) for name in names})

    def view(self, method: str) -> ShopViewSet:
        view = self.view_class(**self.view_options)
        view.action_map = {each.lower(): action for each, action in self.actions.items()}
        view.action = self.actions[method]
        return view


def api_routes() -> list[Route]:
    """Return the routes in the order of their names."""
    found = [
        Route(
            name=pattern.name,
            template="/" + re.sub(r"\(\?P<(\w+)>[^)]*\)", r"{\1}", path.removeprefix(PREFIX)),
            actions=_actions(pattern.callback.actions),
            view_class=pattern.callback.cls,
            view_options=pattern.callback.initkwargs,
        )
        for path, pattern in _patterns(get_resolver().url_patterns, "")
        if path.startswith(PREFIX)
    ]
    return sorted(found, key=lambda route: route.name)


def _actions(action_map: dict[str, str]) -> dict[str, str]:
    # REST framework adds "head" when a view is first asked for something.
    return {method.upper(): name for method, name in action_map.items() if method != "head"}


def _patterns(
    entries: list[URLPattern | URLResolver], prefix: str
) -> Iterator[tuple[str, URLPattern]]:
    for entry in entries:
        path = prefix + str(entry.pattern).removeprefix("^").removesuffix("/?$")
        if isinstance(entry, URLPattern):
            yield path, entry
        else:
            yield from _patterns(entry.url_patterns, path)


def in_another_year() -> dict[str, date]:
    """Return columns of a price that holds for a year which no other row has."""
    first_day = date(1900 + next(numbers) % 100, 1, 1)
    return {"valid_from": first_day, "valid_until": first_day.replace(year=first_day.year + 1)}


def labour_rate() -> Model:
    return billing.LabourRateFactory(**in_another_year())


def fee() -> Model:
    return billing.FeeFactory(**in_another_year())


def level() -> Level:
    return Level.objects.get(part=shop.MoveFactory().part, place__kind="shelf")


def quote(**columns: Any) -> Quote:
    made = billing.QuoteFactory(**columns)
    billing.BagLineFactory(quote=made)
    return made


def invoice() -> Model:
    return payments.AllocationFactory().invoice


def payment() -> Model:
    """Return a payment of which some is allocated and some is refunded."""
    made = payments.AllocationFactory(payment__amount=100).payment
    payments.RefundFactory(payment=made, amount=10)
    return made


def bench_work(**columns: Any) -> Model:
    made = diagnostics.BenchWorkFactory(cause_found=diagnostics.CauseFactory(), **columns)
    diagnostics.FittedPartFactory(bench_work=made)
    return made


def finding(**columns: Any) -> Model:
    made = diagnostics.FindingFactory(
        component=diagnostics.ComponentFactory(),
        cause=diagnostics.CauseFactory(),
        remedy=diagnostics.RemedyFactory(),
        **columns,
    )
    diagnostics.MeasurementFactory(finding=made)
    return made


def follow_up(**columns: Any) -> Model:
    made = diagnostics.ExaminationFactory(follow_up=True, **columns)
    finding(examination=made.follows)
    finding(examination=made)
    return made


def priced() -> Model:
    if not LabourRate.objects.exists():
        billing.LabourRateFactory()
    if not Fee.objects.exists():
        billing.FeeFactory(kind=FeeKind.TRAVEL)
    return finding().examination


def set_up() -> Model:
    made = diagnostics.SetUpFactory()
    made.cautions.add(diagnostics.CautionFactory())
    return made


def remedy() -> Model:
    made = diagnostics.RemedyPartFactory(remedy__set_up=set_up()).remedy
    made.tools.add(diagnostics.ToolFactory())
    made.cautions.add(diagnostics.CautionFactory())
    return made


def cause() -> Model:
    made = diagnostics.CauseFactory()
    made.faults.add(diagnostics.FaultFactory())
    made.checks.add(diagnostics.CheckFactory())
    return made


def touch_weight(**columns: Any) -> Model:
    """Return weights of a note that no others have in an examination."""
    return diagnostics.TouchWeightFactory(note_midi=21 + next(numbers) % 88, **columns)


def label() -> Any:
    return SimpleNamespace(label=f"part:{shop.PartFactory().code}")


def room() -> Model:
    return diagnostics.RoomReadingFactory(taken_at=timezone.now()).instrument


# Nouns that work on no row of their own.
WITHOUT_A_ROW = [
    *("aged-receivables", "count", "cure-report", "goods-received", "goods-returned"),
    *("job-margins", "journal", "pin-sizes", "pin-trial", "price-book", "price-book-preview"),
    *("remedy-minutes", "reorder-report", "reorder-report-by-supplier", "reorder-report-orders"),
    *("sales-summary", "scrapped", "stock-account", "stock-value", "transfer"),
]
# What each noun works on: a function that makes one valid row with what hangs on it, or None.
ROWS: dict[str, Callable[..., Model] | None] = {
    "allocation": payments.AllocationFactory,
    "bank-statement": payments.BankStatementFactory,
    "bench-work": bench_work,
    "cause": cause,
    "caution": diagnostics.CautionFactory,
    "check": diagnostics.CheckFactory,
    "check-result": diagnostics.CheckResultFactory,
    "client": shop.ClientFactory,
    "client-decision": billing.ClientDecisionFactory,
    "client-statement": lambda: payment().client,
    "client-statement-document": lambda: payment().client,
    "component": diagnostics.ComponentFactory,
    "count-sheet": lambda: counting.CountSheetLineFactory().sheet,
    "count-entry-sheet": counting.CountSheetLineFactory,
    "examination": diagnostics.ExaminationFactory,
    "examination-centre": diagnostics.ExaminationFactory,
    "examination-check-result": diagnostics.CheckResultFactory,
    "examination-next-checks": diagnostics.ExaminationFactory,
    "examination-work-sheet": diagnostics.ExaminationFactory,
    "examination-work-sheet-document": diagnostics.ExaminationFactory,
    "examination-comparison": follow_up,
    "examination-diagnosis": diagnostics.ExaminationFactory,
    "examination-finding": finding,
    "examination-keyboard": follow_up,
    "examination-plans": priced,
    "examination-quote": diagnostics.ExaminationFactory,
    "examination-spread": diagnostics.ExaminationFactory,
    "examination-touch": diagnostics.ExaminationFactory,
    "examination-touch-weight": touch_weight,
    "examination-work": diagnostics.ExaminationFactory,
    "fault": diagnostics.FaultFactory,
    "fee": fee,
    "finding": finding,
    "follow-up": billing.FollowUpFactory,
    "instrument": shop.InstrumentFactory,
    "instrument-keyboard": shop.InstrumentFactory,
    "instrument-reading": shop.InstrumentFactory,
    "instrument-room": room,
    "invoice": invoice,
    "invoice-document": invoice,
    "labour-rate": labour_rate,
    "learning-reset": diagnostics.LearningResetFactory,
    "label": label,
    "ledger-account": LedgerAccount.objects.first,
    "level": level,
    "measured-range": diagnostics.MeasuredRangeFactory,
    "move": shop.MoveFactory,
    "part": lambda: shop.PartPriceFactory().part,
    "part-price": shop.PartPriceFactory,
    "opening-stock-sheet": lambda: shop.MoveFactory(reason=MoveReason.OPENING),
    "part-sheet": shop.PartFactory,
    "payment": payment,
    "place": shop.PlaceFactory,
    "place-packing": shop.PlaceFactory,
    "purchase-order": purchasing.PurchaseOrderFactory,
    "purchase-order-document": purchasing.PurchaseOrderFactory,
    "quote": quote,
    "quote-bag": quote,
    "quote-document": quote,
    "quote-change": lambda: QuoteChangePartFactory().change,
    "quote-changes": quote,
    "quote-link": quote,
    "quote-parts-used": quote,
    "quote-work": quote,
    "reading": diagnostics.RoomReadingFactory,
    "receipt": purchasing.ReceiptFactory,
    "refund": payments.RefundFactory,
    "remedy": remedy,
    "reminder": reminders.ReminderFactory,
    "reminder-document": reminders.ReminderFactory,
    "reminder-level": lambda: reminders.ReminderTextFactory().level,
    "reminder-text": reminders.ReminderTextFactory,
    "set-up": set_up,
    "shop-logo": shop.LogoFactory,
    "shop-profile": ShopProfile.objects.get,
    "site": shop.SiteFactory,
    "species": shop.WoodSpeciesFactory,
    "statement-entry": payments.StatementEntryFactory,
    "supplier": shop.SupplierFactory,
    "supplier-offer": purchasing.SupplierOfferFactory,
    "supplier-offer-sheet": purchasing.SupplierOfferFactory,
    "supplier-return": purchasing.SupplierReturnFactory,
    "tax-category": shop.TaxCategoryFactory,
    "tax-rate": shop.TaxRateFactory,
    "tool": diagnostics.ToolFactory,
    "touch-weight": diagnostics.TouchWeightFactory,
    "user": shop.UserFactory,
    "visit": shop.VisitFactory,
    "write-off": payments.WriteOffFactory,
    **dict.fromkeys(WITHOUT_A_ROW),
}


def made_for(route: Route) -> Model | None:
    """Return a new row for `route` to work on, None when it works on none."""
    assert route.noun in ROWS, f"{route.name}: say in tests/house/routes.py what it works on."
    make = ROWS[route.noun]
    return make() if make else None
