"""Sheets: rows that are set beside what is stored, and written all together or not at all.

A sheet is read into a `Plan` by the action of its kind, which `plan_carry_out` writes.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Generic, TypeVar

from django.db import DataError, IntegrityError, transaction
from django.db.models import Model

from shop.actions.bulk import columns_of
from shop.database.checks import checks_broken
from shop.errors import FieldError, InvalidInput, Refused, ShopError
from shop.models import WHOLE_UNITS, Part
from shop.rules.sheets import Change, Fate, changes

Record = TypeVar("Record")
Found = TypeVar("Found")
# Says in words what the database refused.
Explain = Callable[[Exception], ShopError | None]


@dataclass(frozen=True)
class SentRow:
    """A row of the right shape: which one it is, from 0, and its values by column."""

    index: int
    values: Mapping[str, Any]


@dataclass(frozen=True)
class Sheet:
    """A sheet as it was sent: how many rows, those of the right shape, what is wrong with others.

    A trial finds out what would become of the rows and changes nothing.
    """

    size: int
    rows: Sequence[SentRow]
    errors: Sequence[FieldError]
    explain: Explain
    is_trial: bool

    def sent(self, column: str) -> set[Any]:
        """Return what stands in a column, but for empty cells."""
        return {row.values[column] for row in self.rows if row.values.get(column)}


@dataclass(frozen=True)
class PlannedRow(Generic[Record]):
    """A row that can be written: what is stored by column, None of what is new, and what is to be.

    `record` is what the writer needs.
    """

    index: int
    old: Mapping[str, Any] | None
    new: Mapping[str, Any]
    record: Record

    @property
    def changes(self) -> tuple[Change, ...]:
        """What differs from what is stored."""
        return () if self.old is None else changes(self.old, self.new)

    @property
    def fate(self) -> Fate:
        """What becomes of the row."""
        if self.old is None:
            return Fate.MADE
        return Fate.CHANGED if self.changes else Fate.UNCHANGED


@dataclass
class Plan(Generic[Record]):
    """The rows of a sheet that can be written, and why others cannot."""

    sheet: Sheet
    rows: list[PlannedRow[Record]] = field(default_factory=list)
    refusals: list[FieldError] = field(default_factory=list)

    def refuse(self, index: int, column: str, code: str, sentence: str) -> None:
        """Note why a row is refused, at one of its columns or at "", the whole of it."""
        pointer = f"/{index}/{column}" if column else f"/{index}"
        self.refusals.append(FieldError(pointer, code, sentence))

    def first_of_each(self, *columns: str) -> Iterator[SentRow]:
        """Yield the rows of the sheet; of those that are alike in `columns` the first alone.

        The others are refused, at the first of the columns.
        """
        seen: dict[tuple[Any, ...], int] = {}
        for row in self.sheet.rows:
            key = tuple(row.values[column] for column in columns)
            earlier = seen.setdefault(key, row.index)
            if earlier == row.index:
                yield row
            else:
                sentence = f"Row {earlier + 1} of the sheet is about the same."
                self.refuse(row.index, columns[0], "row-repeated", sentence)

    def found(self, row: SentRow, column: str, rows: Mapping[str, Found]) -> Found | None:
        """Return which of `rows` a column names, or note that there is none."""
        found = rows.get(row.values[column])
        if found is None:
            noun = column.replace("_", " ")
            self.refuse(row.index, column, "does-not-exist", f"There is no such {noun}.")
        return found

    def fits(self, row: SentRow, column: str, part: Part) -> bool:
        """Return whether a quantity is whole where the part is not divisible, or note it."""
        is_whole = part.unit not in WHOLE_UNITS or not (row.values[column] or 0) % 1
        if not is_whole:
            sentence = "This part is counted in whole numbers."
            self.refuse(row.index, column, "quantity-not-whole", sentence)
        return is_whole

    def refuse_broken(
        self, model: type[Model], record: Callable[[PlannedRow[Record]], Model]
    ) -> None:
        """Note which of the planned rows a check of the table refuses, by two statements."""
        checks = {each.name: each for each in model._meta.constraints}
        broken = checks_broken(model, [columns_of(record(row)) for row in self.rows])
        for row, names in zip(self.rows, broken, strict=True):
            for check in map(checks.__getitem__, names):
                code, sentence = check.violation_error_code, check.violation_error_message
                self.refuse(row.index, "", str(code), str(sentence))

    def refuse_missing(self, row: SentRow, columns: Iterable[str]) -> bool:
        """Note which of `columns` a row that makes something lacks, and return whether it does."""
        missing = [column for column in columns if row.values.get(column) is None]
        for column in missing:
            self.refuse(row.index, column, "required", "What is new needs this.")
        return bool(missing)


@dataclass(frozen=True)
class RowOutcome:
    """What becomes of a row of a sheet, or why it is refused."""

    index: int
    fate: Fate
    changes: tuple[Change, ...] = ()
    errors: tuple[FieldError, ...] = ()


@transaction.atomic
def plan_carry_out(
    *, plan: Plan[Record], write: Callable[[Sequence[PlannedRow[Record]]], None]
) -> list[RowOutcome]:
    """Write the rows that are new or differ and return what became of each row of the sheet.

    A trial writes them as well, so that the database has its say, and takes everything back.

    Raises:
        InvalidInput: rows are not of the right shape; the errors name all that is wrong.
        Refused: `sheet-refused`, likewise, unless it is a trial.
    """
    sheet = plan.sheet
    with transaction.atomic():
        wrong = {_index(error) for error in plan.refusals}
        due = [row for row in plan.rows if row.index not in wrong and row.fate != Fate.UNCHANGED]
        plan.refusals += _refusals(due, write, sheet.explain)
        if sheet.is_trial:
            transaction.set_rollback(True)
    errors = tuple(sorted([*sheet.errors, *plan.refusals], key=_index))
    refused = len({_index(error) for error in errors})
    sentence = f"{refused} of {sheet.size} rows cannot be taken; nothing is stored."
    if sheet.errors:
        raise InvalidInput("invalid-input", sentence, errors)
    if errors and not sheet.is_trial:
        raise Refused("sheet-refused", sentence, errors)
    return _outcomes(plan)


def _refusals(
    rows: Sequence[PlannedRow[Record]],
    write: Callable[[Sequence[PlannedRow[Record]]], None],
    explain: Explain,
) -> Iterator[FieldError]:
    """Write rows, and find those that the database refuses by writing halves of them, in order."""
    if not rows:
        return
    try:
        with transaction.atomic():
            write(rows)
    except (IntegrityError, DataError) as error:
        if len(rows) > 1:
            middle = len(rows) // 2
            yield from _refusals(rows[:middle], write, explain)
            yield from _refusals(rows[middle:], write, explain)
            return
        refusal = explain(error)
        if refusal is None:
            raise
        yield FieldError(f"/{rows[0].index}", refusal.code, refusal.detail)


def _outcomes(plan: Plan[Record]) -> list[RowOutcome]:
    wrong: dict[int, list[FieldError]] = {}
    for error in plan.refusals:
        wrong.setdefault(_index(error), []).append(error)
    planned = {row.index: row for row in plan.rows}
    return [
        RowOutcome(index, Fate.REFUSED, errors=tuple(wrong[index]))
        if index in wrong
        else RowOutcome(index, planned[index].fate, planned[index].changes)
        for index in range(plan.sheet.size)
    ]


def _index(error: FieldError) -> int:
    return int(error.pointer.split("/")[1])
