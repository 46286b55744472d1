"""Counts on sheets: a place's stock is frozen as expected, counted while work goes on, settled."""

from collections.abc import Iterable, Mapping
from datetime import datetime
from decimal import Decimal

from django.db import connection, transaction

from shop.actions.stock import (
    ZERO,
    Posted,
    differences_post,
    holdings_lock,
    levels_at,
    place_lock,
    refuse_unless_own,
)
from shop.errors import Refused
from shop.models import CountSheet, CountSheetLine, CountStatus, Level, Place, User
from shop.rules.quantities import plain


@transaction.atomic
def count_freeze(*, place: Place, frozen_at: datetime, frozen_by: User) -> CountSheet:
    """Return a new open sheet with what `place` is expected to hold at this moment.

    Raises:
        Refused: `not-shelf-or-van` or `place-being-counted`.
    """
    refuse_unless_own(place, "/place")
    place_lock(place)
    held = Level.objects.filter(place=place, quantity__gt=0).values_list("part", flat=True)
    parts = sorted(holdings_lock(held))
    levels = levels_at(place, parts)
    sheet = CountSheet.objects.create(place=place, frozen_at=frozen_at, frozen_by=frozen_by)
    CountSheetLine.objects.bulk_create(
        CountSheetLine(sheet=sheet, part_id=part_id, expected_quantity=levels[part_id])
        for part_id in parts
        if levels[part_id]
    )
    return sheet


@transaction.atomic
def count_enter(*, sheet: CountSheet, counted: Mapping[int, Decimal]) -> None:
    """Write what was found, by part, on an open sheet; what was written before is replaced.

    A part that was found but not expected gets a line, with what was there at the sheet's moment.

    Raises:
        Refused: `count-ended`.
    """
    sheet = _open_lock(sheet)
    listed = set(sheet.lines.filter(part__in=counted).values_list("part", flat=True))
    added = [part_id for part_id in counted if part_id not in listed]
    expected = _expected_at(sheet, added)
    CountSheetLine.objects.bulk_create(
        [
            CountSheetLine(
                sheet=sheet,
                part_id=part_id,
                expected_quantity=expected.get(part_id, ZERO),
                counted_quantity=quantity,
            )
            for part_id, quantity in counted.items()
        ],
        update_conflicts=True,
        unique_fields=["sheet", "part"],
        update_fields=["counted_quantity"],
    )


def _expected_at(sheet: CountSheet, part_ids: Iterable[int]) -> dict[int, Decimal]:
    """Return how much of each part the sheet's place held at its moment: now, less what came."""
    parts = list(holdings_lock(part_ids))
    levels = levels_at(sheet.place, parts)
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT part_id, sum(CASE WHEN to_place_id = %(place)s THEN quantity ELSE -quantity"
            " END) FROM shop_move WHERE part_id = ANY (%(parts)s) AND moved_at > %(moment)s"
            " AND %(place)s IN (from_place_id, to_place_id) GROUP BY part_id",
            {"place": sheet.place_id, "parts": parts, "moment": sheet.frozen_at},
        )
        came = dict(cursor.fetchall())
    return {part_id: levels.get(part_id, ZERO) - came.get(part_id, ZERO) for part_id in parts}


@transaction.atomic
def count_settle(
    *,
    sheet: CountSheet,
    reason: str,
    ended_at: datetime,
    ended_by: User,
    accept_uncounted: bool = False,
) -> None:
    """Post what was found beyond or short of what was expected at the sheet's moment, and end it.

    What moved since stays moved. Lines that nobody counted stay as they are, if that is accepted.

    Raises:
        Refused: `count-ended`, `lines-uncounted`, or `stock-short` where less is left than the
            count finds missing, so that the count or a move since cannot be right.
    """
    sheet = _open_lock(sheet)
    lines = list(sheet.lines.select_related("part").order_by("part"))
    _refuse_uncounted(lines, is_accepted=accept_uncounted)
    wrong = {
        line.part_id: line.counted_quantity - line.expected_quantity
        for line in lines
        if line.counted_quantity not in (None, line.expected_quantity)
    }
    holdings = holdings_lock(wrong)
    _refuse_short(sheet, wrong, lines)
    moves = differences_post(
        differences=wrong,
        place=sheet.place,
        posted=Posted(ended_at, ended_by, str(sheet)),
        held=holdings,
    )
    made = {move.part_id: move for move in moves}
    for line in lines:
        line.move = made.get(line.part_id)
    CountSheetLine.objects.bulk_update([line for line in lines if line.move], ["move"])
    _end(sheet, CountStatus.SETTLED, reason, Posted(ended_at, ended_by))


def _refuse_uncounted(lines: Iterable[CountSheetLine], *, is_accepted: bool) -> None:
    left = [line.part.code for line in lines if line.counted_quantity is None]
    if left and not is_accepted:
        raise Refused(
            "lines-uncounted",
            f"Nobody has counted {', '.join(left[:10])}{' and others' if left[10:] else ''}."
            " Count them, or send `accept_uncounted`.",
        )


def _refuse_short(
    sheet: CountSheet, wrong: Mapping[int, Decimal], lines: Iterable[CountSheetLine]
) -> None:
    levels = levels_at(sheet.place, wrong)
    short = [
        f"{line.part.code} ({plain(-wrong[line.part_id])} missing,"
        f" {plain(levels.get(line.part_id, ZERO))} there now)"
        for line in lines
        if levels.get(line.part_id, ZERO) + wrong.get(line.part_id, ZERO) < 0
    ]
    if short:
        raise Refused(
            "stock-short",
            f"{sheet.place.name} holds less than the count finds missing: {', '.join(short)}."
            " Count these again, or look at what was moved since.",
        )


@transaction.atomic
def count_drop(*, sheet: CountSheet, reason: str, ended_at: datetime, ended_by: User) -> None:
    """End a count without posting anything.

    Raises:
        Refused: `count-ended`.
    """
    _end(_open_lock(sheet), CountStatus.DROPPED, reason, Posted(ended_at, ended_by))


def _open_lock(sheet: CountSheet) -> CountSheet:
    rows = CountSheet.objects.select_for_update(of=("self",)).select_related("place")
    found = rows.get(pk=sheet.pk)
    if found.status != CountStatus.OPEN:
        raise Refused("count-ended", f"This sheet was {found.status} already.")
    return found


def _end(sheet: CountSheet, status: CountStatus, reason: str, ended: Posted) -> None:
    sheet.status, sheet.reason = status, reason
    sheet.ended_at, sheet.ended_by = ended.moved_at, ended.moved_by
    sheet.save(update_fields=["status", "reason", "ended_at", "ended_by"])
