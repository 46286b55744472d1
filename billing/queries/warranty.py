"""What of an examination comes back under the shop's warranty."""

from django.db.models import F
from django.db.models.functions import Coalesce
from django.utils import timezone

from billing.rules.warranty import DoneWork, FoundAgain, covering, warranty_reason
from diagnostics.models import BenchWork, Examination, Finding
from diagnostics.queries.work import FreeBecause, charged
from shop.models import ShopProfile
from shop.rules.words import ENGLISH, Words


def free_by_warranty(
    examination: Examination, profile: ShopProfile, words: Words = ENGLISH
) -> FreeBecause:
    """Return what says of a finding why it is put right for nothing, if it is: one statement."""
    if not profile.warranty_days:
        return charged
    done = _done_before(examination)
    found_on = timezone.localdate(examination.examined_at)

    def reason(finding: Finding) -> str:
        component = finding.component_id or (finding.cause and finding.cause.component_id)
        if not component:
            return ""
        found = FoundAgain(found_on, component, finding.note_midi)
        work = covering(found, done, profile.warranty_days)
        return warranty_reason(work, words) if work else ""

    return reason


def _done_before(examination: Examination) -> list[DoneWork]:
    """Return the work of completed jobs on the examination's instrument, by its component."""
    work = BenchWork.objects.filter(
        examination__instrument=examination.instrument_id,
        bag__quotes__completed_at__lte=examination.examined_at,
    )
    named = work.annotate(
        component=Coalesce(
            "finding__component", "cause_found__component", "finding__cause__component"
        ),
        quote=F("bag__quotes"),
        completed_at=F("bag__quotes__completed_at"),
    )
    rows = named.filter(component__isnull=False).values_list(
        "quote", "completed_at", "component", "note_midi"
    )
    return [
        DoneWork(quote, timezone.localdate(completed_at), component, note_midi)
        for quote, completed_at, component, note_midi in rows
    ]
