"""What the weeks should add up to, beside what is stored."""

from collections import defaultdict
from datetime import timedelta
from decimal import Decimal

from billing.models import BagLine, WeeklyShortage
from shop.models import Move, WeeklyBalance, WeeklyFlow, WeeklyUse
from shop.models.stock import HOLDING_KINDS


def ledgers_own_sums():
    """Add up the moves: flows by part, kind of place and week, balances and use by part and week.

    Weeks in which nothing was used are left out.
    """
    weekly, changes = defaultdict(lambda: [0, 0, 0, 0]), defaultdict(lambda: [0, 0])
    for move in Move.objects.select_related("from_place", "to_place"):
        day = move.moved_at.date()
        week = day - timedelta(days=day.weekday())
        for place, first, sign in ((move.from_place, 0, 1), (move.to_place, 2, -1)):
            if place.kind not in HOLDING_KINDS:
                for offset, amount in enumerate((move.quantity, move.value)):
                    weekly[move.part_id, place.kind, week][first + offset] += amount
                    changes[move.part_id, week][offset] += sign * amount
    balances, held = {}, defaultdict(lambda: [0, 0])
    for part, week in sorted(changes):
        held[part] = [a + b for a, b in zip(held[part], changes[part, week], strict=True)]
        balances[part, week] = held[part]
    used = {
        (part, week): row[2] - row[0]
        for (part, kind, week), row in weekly.items()
        if kind == "used" and row[2] != row[0]
    }
    return dict(weekly), balances, used


def stored_sums():
    """Return the same as the database has them."""
    flows = {
        (row.part_id, row.kind, row.starts_on): [
            *(row.in_quantity, row.in_value, row.out_quantity, row.out_value)
        ]
        for row in WeeklyFlow.objects.all()
    }
    balances = {
        (row.part_id, row.starts_on): [row.quantity, row.value]
        for row in WeeklyBalance.objects.all()
    }
    used = {
        (row.part_id, row.starts_on + timedelta(weeks=number)): Decimal(thousandths) / 1000
        for row in WeeklyUse.objects.all()
        for number, thousandths in enumerate(row.thousandths)
        if thousandths
    }
    return flows, balances, used


def done_jobs_shortages():
    """Add up by part and week what done jobs wanted, less what was put into their bags and stayed.

    What one bag gives another counts for the other. Of a part that came back when the job was done
    nothing was missed; what came back before, an earlier version of the quote had wanted.
    """
    put_in, came_back = defaultdict(int), {}
    for move in Move.objects.filter(reason__in=["bagged", "unbagged"]):
        if move.reason == "bagged":
            put_in[move.to_place_id, move.part_id] += move.quantity
            put_in[move.from_place_id, move.part_id] -= move.quantity
        else:
            bag = move.from_place_id, move.part_id
            put_in[bag] -= move.quantity
            came_back[bag] = max(move.moved_at, came_back.get(bag, move.moved_at))
    missed = defaultdict(int)
    for line in BagLine.objects.filter(quote__status="completed").select_related("quote"):
        bag, day = (line.quote.bag_id, line.part_id), line.quote.made_at.date()
        is_left_over = bag in came_back and came_back[bag] >= line.quote.completed_at
        if not is_left_over and line.wanted_quantity > put_in[bag]:
            week = day - timedelta(days=day.weekday())
            missed[line.part_id, week] += line.wanted_quantity - put_in[bag]
    return dict(missed)


def stored_shortages():
    """Return the same as the database has them."""
    rows = WeeklyShortage.objects.values_list("part", "starts_on", "quantity")
    return {(part, week): quantity for part, week, quantity in rows}
