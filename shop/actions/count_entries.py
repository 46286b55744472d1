"""What was counted, from a sheet: it is written on the open count sheets of the places."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db import transaction

from shop.actions.counting import count_enter
from shop.actions.sheets import Plan, PlannedRow, RowOutcome, SentRow, Sheet, plan_carry_out
from shop.models import CountSheet, CountSheetLine, CountStatus, Part, Place


@dataclass(frozen=True)
class _Entry:
    """How much was found of a part, and on which count sheet it is written."""

    sheet: CountSheet
    part_id: int
    quantity: Decimal


@transaction.atomic
def count_entries_apply(*, sheet: Sheet) -> list[RowOutcome]:
    """Write what was found on the open count sheets of the places and return the rows' outcomes.

    A row without a quantity leaves its line as it is. The number of statements depends on the
    number of places, not of rows.

    Raises:
        InvalidInput: rows are not of the right shape; the errors name all that is wrong.
        Refused: `sheet-refused`, likewise.
    """
    plan: Plan[_Entry] = Plan(sheet)
    reader = _Reader(plan)
    for row in plan.first_of_each("part", "place"):
        reader.read(row)
    return plan_carry_out(plan=plan, write=_write)


class _Reader:
    """Sets rows beside the lines of the open sheets, which stay locked; each table is read once."""

    def __init__(self, plan: Plan[_Entry]) -> None:
        self.plan = plan
        self.parts = Part.objects.in_bulk(plan.sheet.sent("part"), field_name="code")
        self.places = Place.objects.in_bulk(plan.sheet.sent("place"), field_name="name")
        open_sheets = CountSheet.objects.filter(
            status=CountStatus.OPEN, place__in=self.places.values()
        )
        locked = open_sheets.select_for_update(of=("self",)).order_by("pk")
        self.sheets = {sheet.place_id: sheet for sheet in locked}
        lines = CountSheetLine.objects.filter(sheet__in=self.sheets.values())
        self.lines = {(line.sheet_id, line.part_id): line.counted_quantity for line in lines}

    def read(self, row: SentRow) -> None:
        """Plan a row, or note why it is refused."""
        part = self.plan.found(row, "part", self.parts)
        place = self.plan.found(row, "place", self.places)
        sheet = self.sheets.get(place.pk) if place else None
        if place and not sheet:
            sentence = f"{place.name} is not being counted; make a count sheet of it first."
            self.plan.refuse(row.index, "place", "not-being-counted", sentence)
        if part is None or not self.plan.fits(row, "counted_quantity", part) or sheet is None:
            return
        key = (sheet.pk, part.pk)
        if key not in self.lines and self.plan.refuse_missing(row, ["counted_quantity"]):
            return
        written = self.lines.get(key)
        quantity = row.values["counted_quantity"]
        new = {**row.values, "counted_quantity": written if quantity is None else quantity}
        old = {**row.values, "counted_quantity": written} if key in self.lines else None
        entry = _Entry(sheet, part.pk, new["counted_quantity"])
        self.plan.rows.append(PlannedRow(row.index, old, new, entry))


def _write(rows: Sequence[PlannedRow[_Entry]]) -> None:
    found: dict[int, dict[int, Decimal]] = {}
    sheets = {row.record.sheet.pk: row.record.sheet for row in rows}
    for row in rows:
        found.setdefault(row.record.sheet.pk, {})[row.record.part_id] = row.record.quantity
    for key, counted in found.items():
        count_enter(sheet=sheets[key], counted=counted)
