"""What the stock ledger should say, kept in plain Python beside the database."""

from collections import defaultdict
from decimal import Decimal
from fractions import Fraction
from math import floor


class LedgerModel:
    """Levels by place and part, and of each part the quantity held and its value in cents."""

    def __init__(self, held_places):
        self.held_places = set(held_places)
        self.levels = defaultdict(int)
        self.quantities = defaultdict(int)
        self.cents = defaultdict(int)

    def move(self, part, source, target, quantity, cents=None):
        """Move some of a part; what goes out or in without a price of its own has the average."""
        if cents is None:
            cents = self._average(part, quantity)
        self.levels[source, part] -= quantity
        self.levels[target, part] += quantity
        direction = (target in self.held_places) - (source in self.held_places)
        self.quantities[part] += direction * quantity
        self.cents[part] += direction * cents

    def _average(self, part, quantity):
        if quantity == self.quantities[part]:
            return self.cents[part]
        return self._share(part, quantity)

    def _share(self, part, quantity):
        # Halves away from zero.
        return floor(Fraction(self.cents[part] * quantity, self.quantities[part]) + Fraction(1, 2))

    def found_cents(self, part, quantity, cost_cents):
        """Return the value of what a count finds: by the average, or by the part's cost."""
        if not self.quantities[part]:
            return quantity * cost_cents
        return self._share(part, quantity)

    def at(self, place):
        """Return the parts at a place of which there is any."""
        return {
            part: quantity
            for (where, part), quantity in self.levels.items()
            if where == place and quantity
        }

    def nonzero_levels(self):
        return {key: quantity for key, quantity in self.levels.items() if quantity}

    def holdings(self):
        return {
            part: (quantity, Decimal(self.cents[part]) / 100)
            for part, quantity in self.quantities.items()
            if quantity
        }
