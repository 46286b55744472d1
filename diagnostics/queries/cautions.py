"""What to take care of with some work, and whom to ask."""

from collections.abc import Collection, Iterable

from django.db.models import Q

from diagnostics.models import Caution
from diagnostics.rules.work_sheet import SheetCaution
from shop.rules.words import ENGLISH, Words, said

# The topic of the caution that holds for every visit.
GENERAL = "general"


def cautions_for(
    remedy_ids: Iterable[int], set_ups: Collection[str] = (), words: Words = ENGLISH
) -> tuple[SheetCaution, ...]:
    """Return the cautions of remedies, and of set-ups by code, after those that always hold."""
    concerned = (
        Q(topics__contains=[GENERAL])
        | Q(remedies__in=list(remedy_ids))
        | Q(set_ups__code__in=set_ups)
    )
    rows = Caution.objects.filter(concerned).distinct().order_by("code")
    ordered = sorted(rows, key=lambda row: GENERAL not in row.topics)
    return tuple(
        SheetCaution(row.code, said(words, row.name), said(words, row.text)) for row in ordered
    )
