"""Opening stock from a sheet: what a shop had of each part when its books began."""

from collections.abc import Sequence
from decimal import Decimal

from django.conf import settings
from django.db import transaction

from shop.actions.sheets import Plan, PlannedRow, RowOutcome, SentRow, Sheet, plan_carry_out
from shop.actions.stock import Held, Posted, Posting, holdings_lock, moves_post
from shop.models import OWN_KINDS, Level, MoveReason, Part, Place, PlaceKind
from shop.queries.sheets import opening_columns, opening_moves
from shop.rules.money import minor_units, rounded


@transaction.atomic
def opening_stock_apply(*, sheet: Sheet, posted: Posted) -> list[RowOutcome]:
    """Post what a sheet says there was of parts that have not moved yet, at what it cost.

    Returns what became of each row. A row that says what was posted before changes nothing. The
    number of statements does not depend on the number of rows, unless the database refuses some.

    Raises:
        InvalidInput: rows are not of the right shape; the errors name all that is wrong.
        Refused: `sheet-refused`, likewise.
    """
    plan: Plan[Posting] = Plan(sheet)
    reader = _Reader(plan)
    for row in plan.first_of_each("part", "place"):
        reader.read(row)

    def write(rows: Sequence[PlannedRow[Posting]]) -> None:
        postings = [row.record for row in rows]
        moves_post(
            postings=postings, reason=MoveReason.OPENING, posted=posted, held=reader.holdings
        )

    return plan_carry_out(plan=plan, write=write)


class _Reader:
    """Sets rows beside the ledger, each table read once; the parts' holdings stay locked."""

    def __init__(self, plan: Plan[Posting]) -> None:
        self.plan = plan
        self.parts = Part.objects.in_bulk(plan.sheet.sent("part"), field_name="code")
        self.places = Place.objects.in_bulk(plan.sheet.sent("place"), field_name="name")
        keys = [part.pk for part in self.parts.values()]
        self.holdings: dict[int, Held] = holdings_lock(keys)
        # What has moved has a level somewhere.
        self.moved = set(Level.objects.filter(part__in=keys).values_list("part", flat=True))
        opening = opening_moves().filter(part__in=keys)
        self.posted = {(move.part_id, move.to_place_id): move for move in opening}
        self.suppliers = Place.objects.get(kind=PlaceKind.SUPPLIER)
        self.decimals = minor_units(settings.CURRENCY)

    def read(self, row: SentRow) -> None:
        """Plan a row, or note why it is refused."""
        part = self.plan.found(row, "part", self.parts)
        place = self.plan.found(row, "place", self.places)
        if part is None or place is None or not self._is_countable(row, part, place):
            return
        quantity: Decimal = row.values["quantity"]
        value = rounded(quantity * row.values["unit_cost"], self.decimals)
        earlier = self.posted.get((part.pk, place.pk))
        old = None
        if earlier and (earlier.quantity, earlier.value) == (quantity, value):
            old = opening_columns(earlier)
        elif part.pk in self.moved:
            sentence = "This part has moved already; receive or count it instead."
            self.plan.refuse(row.index, "part", "part-has-moves", sentence)
            return
        posting = Posting(part.pk, self.suppliers.pk, place.pk, quantity, value)
        self.plan.rows.append(PlannedRow(row.index, old, old or row.values, posting))

    def _is_countable(self, row: SentRow, part: Part, place: Place) -> bool:
        is_own = place.kind in OWN_KINDS
        if not is_own:
            sentence = f"{place.name} is not a shelf or a van."
            self.plan.refuse(row.index, "place", "not-shelf-or-van", sentence)
        return self.plan.fits(row, "quantity", part) and is_own
