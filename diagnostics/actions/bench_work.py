"""Recording what was done at the bench."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from django.db import transaction
from django.db.models import Sum

from diagnostics.actions.drafts import DraftReader
from diagnostics.models import BenchWork, Examination, Finding, FittedPart
from diagnostics.rules.note_names import Naming
from shop.actions.stock import holdings_lock, levels_at
from shop.errors import FieldError, Refused
from shop.models import Part, Place, User
from shop.rules.quantities import plain

LONGEST_MINUTES = 1440


@dataclass(frozen=True)
class BenchWorkDraft:
    """Bench work as it was posted: remedy, cause and parts by their codes.

    `note` is one note in `naming`; empty, it is that of the finding, or the whole instrument.
    `fitted` says how much of each part went in.
    """

    remedy: str
    minutes: Decimal
    result: str
    note: str = ""
    naming: str = Naming.SCIENTIFIC
    finding_id: int | None = None
    cause_found: str = ""
    comment: str = ""
    fitted: tuple[tuple[str, Decimal], ...] = ()


@transaction.atomic
def bench_work_record(
    *,
    examination: Examination,
    bag: Place,
    draft: BenchWorkDraft,
    done_at: datetime,
    done_by: User,
) -> BenchWork:
    """Record a remedy done and the parts fitted out of `bag`; they leave it when the job closes.

    Raises:
        InvalidInput: `invalid-input`, naming everything that there is not on this instrument, in
            the catalogue or among the parts, and every amount that cannot be.
        Refused: `not-in-bag`, naming every part that the bag does not hold enough of.
    """
    codes = {"remedy": {draft.remedy}, "cause": {draft.cause_found} - {""}}
    reader = DraftReader(examination.instrument, codes, draft.naming)
    work = _work(examination, draft, reader)
    fitted = _fitted(draft, reader)
    reader.refuse()
    holdings_lock(fitted)
    _refuse_unless_in_bag(bag, fitted)
    work.bag, work.done_at, work.done_by = bag, done_at, done_by
    work.save(force_insert=True)
    FittedPart.objects.bulk_create(
        FittedPart(bench_work=work, part_id=part_id, quantity=quantity)
        for part_id, quantity in fitted.items()
    )
    return work


def _work(examination: Examination, draft: BenchWorkDraft, reader: DraftReader) -> BenchWork:
    """Return what the draft says, and leave to `reader` what is wrong with it."""
    if not 0 <= draft.minutes <= LONGEST_MINUTES:
        reader.wrong("/minutes", "minutes-absurd", f"Work takes 0 to {LONGEST_MINUTES} minutes.")
    finding = _finding(examination, draft, reader)
    entries = {
        "remedy_id": reader.entry_id("remedy", draft.remedy, "/remedy"),
        "cause_found_id": reader.entry_id("cause", draft.cause_found, "/cause_found"),
    }
    return BenchWork(
        examination=examination,
        finding=finding,
        note_midi=_note(draft, finding, reader),
        minutes=draft.minutes,
        result=draft.result,
        comment=draft.comment,
        **entries,
    )


def _finding(
    examination: Examination, draft: BenchWorkDraft, reader: DraftReader
) -> Finding | None:
    if draft.finding_id is None:
        return None
    finding = Finding.objects.filter(examination=examination, pk=draft.finding_id).first()
    if finding is None:
        detail = f"The examination has no finding {draft.finding_id}."
        reader.wrong("/finding", "finding-unknown", detail)
    return finding


def _note(draft: BenchWorkDraft, finding: Finding | None, reader: DraftReader) -> int | None:
    """Return the one note worked on; None is the whole instrument."""
    if not draft.note.strip():
        return finding.note_midi if finding else None
    notes = reader.notes(draft.note, "/note")
    if len(notes) > 1:
        detail = f"Bench work is recorded note by note; this names {len(notes)} notes."
        reader.wrong("/note", "notes-several", detail)
    if finding and finding.note_midi is not None and notes and finding.note_midi not in notes:
        detail = f"The finding {finding.pk} is on another note; leave `note` or `finding` out."
        reader.wrong("/note", "note-not-of-finding", detail)
    return notes[0] if notes else None


def _fitted(draft: BenchWorkDraft, reader: DraftReader) -> dict[int, Decimal]:
    """Return how much of each part went in, by part, in the order given."""
    named = Counter(code for code, _ in draft.fitted)
    rows = Part.objects.filter(code__in=named).values_list("code", "pk") if named else ()
    parts = dict(rows)
    fitted = {}
    for index, (code, quantity) in enumerate(draft.fitted):
        pointer = f"/fitted/{index}"
        if code not in parts:
            reader.wrong(f"{pointer}/part", "part-unknown", f"There is no part {code!r}.")
        elif named[code] > 1:
            detail = f"The part {code!r} stands here twice; add its quantities up."
            reader.wrong(f"{pointer}/part", "part-named-twice", detail)
        elif quantity <= 0:
            detail = "What is fitted is more than nothing."
            reader.wrong(f"{pointer}/quantity", "quantity-not-positive", detail)
        else:
            fitted[parts[code]] = quantity
    return fitted


def _refuse_unless_in_bag(bag: Place, fitted: Mapping[int, Decimal]) -> None:
    levels = levels_at(bag, fitted)
    earlier = dict(
        FittedPart.objects.filter(bench_work__bag=bag, part__in=fitted)
        .values("part")
        .annotate(total=Sum("quantity"))
        .values_list("part", "total")
    )
    errors = []
    for index, (part_id, quantity) in enumerate(fitted.items()):
        left = levels.get(part_id, Decimal(0)) - earlier.get(part_id, Decimal(0))
        if quantity > left:
            detail = f"The job bag has {plain(left)} of this part left, not {plain(quantity)}."
            errors.append(FieldError(f"/fitted/{index}/quantity", "not-in-bag", detail))
    if errors:
        raise Refused("not-in-bag", "Only what the job bag holds can be fitted.", tuple(errors))
