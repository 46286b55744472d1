"""Recording what notes do: all rows of a post are stored, or none and every wrong one is named."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from django.db import transaction

from diagnostics.actions.drafts import DraftReader, Sent
from diagnostics.models import Examination, Finding, Measurement, Severity
from shop.errors import FieldError

NAMED = ("fault", "component", "cause", "remedy")


@dataclass(frozen=True)
class MeasuredValue:
    """A measured value: `quantity` names what and in which unit; see `Measurement`."""

    quantity: str
    value: Decimal
    radius_mm: Decimal | None = None
    swings_counted: str = ""


@dataclass(frozen=True)
class FindingDraft:
    """A row as it was posted. `note` is a number, name or range, or empty for the instrument.

    The catalogue's rows are given by their codes; all but the fault may be empty. `pointer` says
    where in the request the row stands.
    """

    pointer: str
    note: str
    fault: str
    component: str = ""
    cause: str = ""
    remedy: str = ""
    severity: str = Severity.MODERATE
    comment: str = ""
    measurements: tuple[MeasuredValue, ...] = ()


# The transaction of the request undoes it all; a savepoint of its own would be two statements more.
@transaction.atomic(savepoint=False)
def findings_record(
    *,
    examination: Examination,
    drafts: list[FindingDraft],
    naming: str,
    errors: Iterable[FieldError] = (),
) -> list[Finding]:
    """Store a finding for every note of every draft and return them in the order given.

    `examination` is locked by the caller, with its instrument. `errors` are those of rows that
    could not be made drafts. Takes the same few statements for one row and for hundreds.

    Raises:
        InvalidInput: `invalid-input`, naming every row that has a note outside the compass, a code
            the catalogue does not have, something this action does not have, or that stands there
            twice.
        Refused: `finding-exists`, naming every row that was recorded before, when nothing else is
            wrong.
    """
    codes = {noun: {getattr(draft, noun) for draft in drafts} - {""} for noun in NAMED}
    reader = DraftReader(examination.instrument, codes, naming, errors)
    made: list[tuple[FindingDraft, Finding]] = []
    for draft in drafts:
        made += [(draft, finding) for finding in _findings_of(draft, examination, reader)]
        reader.refuse_beyond(len(made), draft.pointer)
    sent = [Sent(draft.pointer, finding.note_midi, _what(finding)) for draft, finding in made]
    reader.refuse_repeats(sent, _recorded(examination), "finding-exists")
    reader.refuse(conflict="finding-exists")
    findings = Finding.objects.bulk_create(finding for _, finding in made)
    Measurement.objects.bulk_create(
        _measured(finding, value) for draft, finding in made for value in draft.measurements
    )
    return findings


@transaction.atomic
def finding_change(*, finding: Finding, changes: Mapping[str, str]) -> Finding:
    """Change component, cause, remedy (by code, "" for none), severity or comment; return it.

    Raises:
        InvalidInput: `invalid-input`, naming every code that the catalogue or the action lacks.
        IntegrityError: `diagnostics_finding_once`, the note has another finding that says the same.
    """
    codes = {noun: {changes[noun]} - {""} for noun in NAMED if noun in changes}
    reader = DraftReader(finding.examination.instrument, codes)
    for name, value in changes.items():
        if name in NAMED:
            setattr(finding, f"{name}_id", reader.entry_id(name, value, f"/{name}"))
        else:
            setattr(finding, name, value)
    reader.refuse()
    finding.save(update_fields=list(changes))
    return finding


def _findings_of(
    draft: FindingDraft, examination: Examination, reader: DraftReader
) -> list[Finding]:
    """Return the findings that a draft asks for; none, with the errors in `reader`, when wrong."""
    errors_before = len(reader.errors)
    entries = {
        f"{noun}_id": reader.entry_id(noun, getattr(draft, noun), f"{draft.pointer}/{noun}")
        for noun in NAMED
    }
    notes = reader.notes_or_instrument(draft.note, f"{draft.pointer}/note")
    if len(reader.errors) > errors_before:
        return []
    said = {"severity": draft.severity, "comment": draft.comment, **entries}
    return [Finding(examination=examination, note_midi=note, **said) for note in notes]


def _recorded(examination: Examination) -> Iterable[tuple[int | None, ...]]:
    """Return the note of each finding there is, followed by `_what` it says."""
    rows = Finding.objects.filter(examination=examination)
    return rows.values_list("note_midi", "fault_id", "component_id", "cause_id")


def _what(finding: Finding) -> tuple[int | None, ...]:
    return finding.fault_id, finding.component_id, finding.cause_id


def _measured(finding: Finding, value: MeasuredValue) -> Measurement:
    return Measurement(
        finding=finding,
        quantity=value.quantity,
        value=value.value,
        radius_mm=value.radius_mm,
        swings_counted=value.swings_counted,
    )
