"""The plans for an examination, as the answer shows them."""

from collections.abc import Iterator
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

from django.conf import settings

from billing.queries.plans import ExaminationPlans
from billing.rules.plans import FORECAST, Advice, Plan, PlanKind, Plans, advice
from diagnostics.queries.cautions import cautions_for
from diagnostics.queries.instruments import compass_of
from diagnostics.queries.work import remedy_of
from diagnostics.rules.beta_binomial import BETA_BINOMIAL
from diagnostics.rules.cure_rate import CURE_RATE, MOST_WEIGHT, PRIOR_WEIGHT, CureRate, eight_in_ten
from diagnostics.rules.estimate import PERT
from diagnostics.rules.note_names import notes_text
from diagnostics.rules.room_first import PRACTICE, SENTENCES, SETTLED_READINGS, Hindrance
from diagnostics.rules.work_left import WORK_LEFT
from shop.http.views import Values

FORMULAS = (BETA_BINOMIAL, CURE_RATE, WORK_LEFT, PERT, FORECAST, PRACTICE)


def plans_shown(found: ExaminationPlans, today: date) -> Values:
    """Return the values of the answer; the room would be treated `today`."""
    hindrance = found.room_first.hindrance
    due_on = today + timedelta(days=found.settle_days)
    treated_by = found.room_first.treated_by if found.both else ()
    return {
        "examination": found.examination.pk,
        "currency": settings.CURRENCY,
        "advice": _advice(found),
        "now": _cost(found.now, found, visits=1),
        "room_first": _room_first(found, found.both, due_on) if found.both else None,
        "hindrance": hindrance and {"code": hindrance, "sentence": SENTENCES[hindrance]},
        "warnings": list(_warnings(found, due_on)),
        "rests_on": _rests_on(found),
        "cautions": cautions_for(remedy.pk for remedy in treated_by),
        "formulas": FORMULAS,
    }


def _advice(found: ExaminationPlans) -> Advice:
    hindrance = found.room_first.hindrance
    if found.both:
        cheaper, is_widespread = found.both.room_first_is_cheaper, found.room_first.is_widespread
        return advice(cheaper, is_widespread=is_widespread)
    is_open = hindrance == Hindrance.ROOM_UNMEASURED
    return Advice(None if is_open else PlanKind.NOW, SENTENCES[hindrance] if hindrance else "")


def _cost(plan: Plan, found: ExaminationPlans, *, visits: int) -> Values:
    decimals = found.costing.book.decimals
    return {
        "visits": visits,
        "net_expected": _amount(plan.expected),
        "net_low": plan.quantile(0.1, decimals),
        "net_high": plan.quantile(0.9, decimals),
    }


def _amount(sum_of_money: Fraction) -> Decimal:
    return Decimal(sum_of_money.numerator) / sum_of_money.denominator


def _room_first(found: ExaminationPlans, both: Plans, due_on: date) -> Values:
    compass = compass_of(found.examination.instrument)
    low, high = eight_in_ten(found.cured_chances)
    cured = sum(count * chance for count, chance in enumerate(found.cured_chances))
    now = [
        finding.note_midi
        for finding in found.room_first.now
        if finding.note_midi is not None and remedy_of(finding)
    ]
    return {
        **_cost(both.room_first, found, visits=2),
        "first_visit_net_expected": _amount(both.first_visit.expected),
        "cheaper_chance": both.room_first_is_cheaper,
        "treated_by": [remedy.code for remedy in found.room_first.treated_by],
        "notes_now": notes_text(now, compass),
        "notes_waiting": notes_text(found.waiting_notes, compass),
        "notes_waiting_count": len(found.waiting_notes),
        "cured_expected": cured,
        "cured_low": low,
        "cured_high": high,
        "due_on": due_on,
    }


def _warnings(found: ExaminationPlans, due_on: date) -> Iterator[Values]:
    if found.undecided_count:
        count = found.undecided_count
        sentence = f"{count} without a cause or remedy: in neither plan."
        yield {"code": "findings-undecided", "sentence": sentence}
    if found.warranty_count:
        sentence = f"{found.warranty_count} under the shop's warranty: for nothing in either plan."
        yield {"code": "findings-under-warranty", "sentence": sentence}
    if found.both is None:
        return
    rate = found.room_first.cure_rate
    if rate and not rate.counted.followed:
        sentence = "How much the room cures is the catalogue's estimate; nothing was followed up."
        yield {"code": "cure-rate-estimated", "sentence": sentence}
    if found.settled_readings < SETTLED_READINGS:
        sentence = (
            f"Look again on {due_on} or later, and not before {SETTLED_READINGS} readings in a row"
            f" are in range; so far {found.settled_readings}."
        )
        yield {"code": "room-not-settled", "sentence": sentence}


def _rests_on(found: ExaminationPlans) -> Values:
    book, tariff, first = found.costing.book, found.costing.tariff, found.room_first
    return {
        "room": first.room,
        "is_widespread": first.is_widespread,
        "cure_rate": first.cure_rate and _cure_rate(first.cure_rate),
        "hour": book.hour.amount,
        "travel": _amount(tariff.travel),
        "minimum": _amount(tariff.minimum),
        "settle_days": found.settle_days,
        "settled_readings": found.settled_readings,
        "settled_readings_wanted": SETTLED_READINGS,
        "undecided_count": found.undecided_count,
    }


def _cure_rate(rate: CureRate) -> Values:
    return {
        "estimate": rate.estimate,
        "estimate_weight": PRIOR_WEIGHT,
        "followed": rate.counted.followed,
        "cured": rate.counted.cured,
        "share": rate.share,
        "weight": _amount(rate.weight),
        "most_weight": MOST_WEIGHT,
    }
