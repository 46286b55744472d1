"""Counts at random, at once or on sheets while other work goes on, beside the stock papers."""

from dataclasses import dataclass, field
from decimal import Decimal

from hypothesis import strategies as st
from hypothesis.stateful import precondition, rule

from shop.actions.counting import count_drop, count_enter, count_freeze, count_settle
from shop.actions.stock import stock_count
from shop.models import CountSheet, PlaceKind
from tests.shop.stock_machine import COST_CENTS, LONG_BEFORE, StockMachine, side, which

pieces = st.integers(0, 8)


@dataclass
class Count:
    """An open sheet: what it expects of each part, and what was found so far."""

    row: CountSheet
    expected: dict
    found: dict = field(default_factory=dict)

    def differences(self):
        return {part: found - self.expected[part] for part, found in self.found.items()}


class CountingMachine(StockMachine):
    """Each rule does the same to the program and to the model, refusals included."""

    def __init__(self):
        super().__init__()
        self.counts = {}

    @rule(side=side, which=which, counted=pieces)
    def count(self, side, which, counted):
        part = self.shop.parts[which].pk
        arguments = {
            "counted": {part: Decimal(counted)},
            "place": self.shop.places[side],
            "posted": self.posted,
        }
        if side in self.counts:
            self.refused("place-being-counted", stock_count, **arguments)
        else:
            stock_count(**arguments)
            self._correct(side, part, counted - self.model.levels[self.place(side), part])

    def _correct(self, side, part, difference):
        outside, place = self.shop.outside[PlaceKind.COUNT_DIFFERENCE], self.place(side)
        if difference > 0:
            cents = self.model.found_cents(part, difference, COST_CENTS)
            self.model.move(part, outside, place, difference, cents)
        elif difference < 0:
            self.model.move(part, place, outside, -difference)

    @rule(side=side)
    def freeze(self, side):
        arguments = {
            "place": self.shop.places[side],
            # Before any move, so that what no sheet expected was not there.
            "frozen_at": LONG_BEFORE,
            "frozen_by": self.shop.technician,
        }
        if side in self.counts:
            self.refused("place-being-counted", count_freeze, **arguments)
        else:
            sheet = count_freeze(**arguments)
            self.counts[side] = Count(sheet, self.model.at(self.place(side)))

    @precondition(lambda self: self.counts)
    @rule(data=st.data(), which=which, counted=pieces)
    def enter(self, data, which, counted):
        count = self.counts[data.draw(st.sampled_from(sorted(self.counts)))]
        part = self.shop.parts[which].pk
        count_enter(sheet=count.row, counted={part: Decimal(counted)})
        count.expected.setdefault(part, 0)
        count.found[part] = counted

    @precondition(lambda self: self.counts)
    @rule(data=st.data(), accept=st.booleans())
    def settle(self, data, accept):
        side = data.draw(st.sampled_from(sorted(self.counts)))
        count, place = self.counts[side], self.place(side)
        arguments = {"sheet": count.row, "accept_uncounted": accept, **self._ended()}
        differences = count.differences()
        if count.expected.keys() - count.found.keys() and not accept:
            self.refused("lines-uncounted", count_settle, **arguments)
        elif any(self.model.levels[place, part] + n < 0 for part, n in differences.items()):
            self.refused("stock-short", count_settle, **arguments)
        else:
            count_settle(**arguments)
            del self.counts[side]
            for part, difference in differences.items():
                self._correct(side, part, difference)

    @precondition(lambda self: self.counts)
    @rule(data=st.data())
    def drop(self, data):
        side = data.draw(st.sampled_from(sorted(self.counts)))
        count_drop(sheet=self.counts.pop(side).row, **self._ended())

    def _ended(self):
        by = {"ended_at": self.now, "ended_by": self.shop.technician}
        return {"reason": "Quarterly count", **by}
