"""The causes of a kind of action with their figures, as far as the shop's own cases moved them."""

from collections import defaultdict

from diagnostics.models import Cause, CauseCheck, CauseFault, Check
from diagnostics.models.causes import AGE_SHARES, ROOM_SHARES, SPREAD_SHARES
from diagnostics.queries.learnt import Learnt
from diagnostics.rules.cause_figures import (
    AgeClass,
    CauseFigures,
    CheckFigures,
    Figures,
    Leaning,
)
from diagnostics.rules.learning import NOTHING_COUNTED, share_learnt, weights_learnt
from diagnostics.rules.room import RoomState
from diagnostics.rules.spread import SpreadKind
from shop.rules.words import ENGLISH, Words, said

FAMILIES = (
    ("spread", SpreadKind, SPREAD_SHARES),
    ("room", RoomState, ROOM_SHARES),
    ("age", AgeClass, AGE_SHARES),
)
# The column of each kind of spread, state of the room and age.
LEANINGS: dict[str, Leaning] = {
    column: kind(column.removeprefix(f"{family}_"))
    for family, kind, columns in FAMILIES
    for column in columns
}


def figures_of(action: str, learnt: Learnt, words: Words = ENGLISH) -> Figures:
    """Return what is known beforehand of the causes of a kind of action, in four statements."""
    causes = list(
        Cause.objects.filter(actions__contains=[action])
        .select_related("component", "remedy")
        .order_by("code")
    )
    weights = weights_learnt(
        {cause.pk: float(cause.prior_weight) for cause in causes}, learnt.cases_of(action)
    )
    checks, faults = _checks_by_cause(action, learnt), _faults_by_cause(action, learnt)
    return Figures(
        causes=tuple(
            CauseFigures(
                code=cause.code,
                name=said(words, cause.name),
                weight=weights[cause.pk],
                component=cause.component.code,
                remedy=cause.remedy.code,
                cured_by_room=cause.cured_by_room,
                found_on=cause.found_on,
                checks=checks[cause.pk],
                faults=faults[cause.pk],
                leanings={
                    leaning: float(getattr(cause, column)) for column, leaning in LEANINGS.items()
                },
                complaint_words=tuple(cause.complaint_words),
            )
            for cause in causes
        ),
        checks={check.code: check for check in _checks(action, learnt)},
        words=words,
    )


def _checks(action: str, learnt: Learnt) -> list[CheckFigures]:
    return [
        CheckFigures(
            code=check.code,
            name=check.name,
            false_positive_share=share_learnt(
                float(check.false_positive_share),
                learnt.false_positives.get(check.pk, NOTHING_COUNTED),
            ),
            measures=tuple(check.measures),
            restates_room_and_spread=check.restates_room_and_spread,
        )
        for check in Check.objects.filter(actions__contains=[action]).order_by("code")
    ]


def _checks_by_cause(action: str, learnt: Learnt) -> dict[int, dict[str, float]]:
    links = CauseCheck.objects.filter(
        cause__actions__contains=[action], check_made__actions__contains=[action]
    )
    rows = links.order_by("check_made__code").values_list(
        "cause", "check_made", "check_made__code", "positive_share"
    )
    shares: dict[int, dict[str, float]] = defaultdict(dict)
    for cause, check, code, share in rows:
        counted = learnt.positives.get((check, cause), NOTHING_COUNTED)
        shares[cause][code] = share_learnt(float(share), counted)
    return shares


def _faults_by_cause(action: str, learnt: Learnt) -> dict[int, dict[str, float]]:
    links = CauseFault.objects.filter(cause__actions__contains=[action])
    rows = links.order_by("fault__code").values_list("cause", "fault", "fault__code", "share")
    shares: dict[int, dict[str, float]] = defaultdict(dict)
    for cause, fault, code, share in rows:
        counted = learnt.faults.get((fault, cause), NOTHING_COUNTED)
        shares[cause][code] = share_learnt(float(share), counted)
    return shares
