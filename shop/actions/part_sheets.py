"""Parts from a sheet: new ones are made, known ones changed, by their codes."""

from collections.abc import Mapping, Sequence
from datetime import date
from functools import partial
from typing import Any

from django.db import transaction

from shop.actions.sheets import Plan, PlannedRow, RowOutcome, SentRow, Sheet, plan_carry_out
from shop.models import Part, PartPrice, Supplier, TaxCategory
from shop.queries.sheets import PART_COLUMNS, part_columns, priced_parts

NEEDED = ("name", "category", "price", "cost", "tax_category")
WRITTEN = (*(name for name in PART_COLUMNS if name != "code"), "tax_category", "supplier")


@transaction.atomic
def part_sheet_apply(*, sheet: Sheet, day: date) -> list[RowOutcome]:
    """Make and change parts as a sheet says and return what became of each row.

    Columns that the sheet does not have stay as they are. A new price of a known part holds from
    `day` on; prices that are entered for later days stand. The number of statements does not depend
    on the number of rows, unless the database refuses some.

    Raises:
        InvalidInput: rows are not of the right shape; the errors name all that is wrong.
        Refused: `sheet-refused`, likewise.
    """
    plan: Plan[Part] = Plan(sheet)
    reader = _Reader(plan, day)
    for row in plan.first_of_each("code"):
        reader.read(row)
    plan.refuse_broken(Part, lambda row: row.record)
    return plan_carry_out(plan=plan, write=partial(_write, day=day))


class _Reader:
    """Sets rows beside the parts that are stored, each table read once."""

    def __init__(self, plan: Plan[Part], day: date) -> None:
        self.plan = plan
        sheet = plan.sheet
        self.parts = {part.code: part for part in _parts_locked(sheet.sent("code"), day)}
        self.named: dict[str, Mapping[str, Any]] = {
            "tax_category": TaxCategory.objects.in_bulk(
                sheet.sent("tax_category"), field_name="code"
            ),
            "supplier": Supplier.objects.in_bulk(sheet.sent("supplier"), field_name="name"),
        }

    def read(self, row: SentRow) -> None:
        """Plan a row, or note why it is refused."""
        stored = self.parts.get(row.values["code"])
        lacks = stored is None and self.plan.refuse_missing(row, NEEDED)
        values = self._found(row)
        if values is None or lacks:
            return
        if stored is None:
            part = Part(**values)
            self.plan.rows.append(PlannedRow(row.index, None, part_columns(part, part.price), part))
            return
        old = part_columns(stored, stored.price_in_force)
        price = values.pop("price", stored.price_in_force)
        for name, value in values.items():
            setattr(stored, name, value)
        self.plan.rows.append(PlannedRow(row.index, old, part_columns(stored, price), stored))

    def _found(self, row: SentRow) -> dict[str, Any] | None:
        """Return the values with the rows that they name, None when there is no such row."""
        values = {name: value for name, value in row.values.items() if name != "currency"}
        named = [column for column in self.named if values.get(column)]
        found = {column: self.plan.found(row, column, self.named[column]) for column in named}
        return None if None in found.values() else values | found


def _parts_locked(codes: set[str], day: date) -> list[Any]:
    """Lock the parts against other edits, in key order; what refers to them may go on."""
    parts = priced_parts(day).filter(code__in=codes)
    return list(parts.select_for_update(of=("self",), no_key=True).order_by("pk"))


def _write(rows: Sequence[PlannedRow[Part]], *, day: date) -> None:
    Part.objects.bulk_create(row.record for row in rows if row.old is None)
    Part.objects.bulk_create(
        (row.record for row in rows if row.old is not None),
        update_conflicts=True,
        unique_fields=["code"],
        update_fields=WRITTEN,
    )
    PartPrice.objects.bulk_create(
        (
            PartPrice(part=row.record, price=row.new["price"], valid_from=day)
            for row in rows
            if row.old is not None and row.old["price"] != row.new["price"]
        ),
        update_conflicts=True,
        unique_fields=["part", "valid_from"],
        update_fields=["price"],
    )
