"""What work costs by the price book: mean and variance of one time of it, before tax."""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from billing.rules.plans import Job, Piece, SetUpPiece, Tariff
from billing.rules.prices import PriceBook
from diagnostics.rules.estimate import Minutes, RemedyUse

MINUTES_PER_HOUR = 60


@dataclass(frozen=True)
class Costing:
    """Prices: the book's, and that of a pin whose size shows at the bench only."""

    book: PriceBook
    pin_price: Decimal = Decimal(0)

    @property
    def tariff(self) -> Tariff:
        """What a visit costs beside work."""
        least = self.book.minimum.price.amount if self.book.minimum else 0
        fees = sum((fee.price.amount for fee in self.book.fees), Decimal(0))
        return Tariff(travel=Fraction(fees), minimum=Fraction(least))

    def job(
        self, use: RemedyUse, now: frozenset[int], waiting: frozenset[int], *, once: bool
    ) -> Job:
        """Return a remedy's work on these notes, of which `now` does not wait."""
        return Job(
            remedy_id=use.remedy_id,
            piece=self._piece(use.name, use.minutes, self._parts(use)),
            set_up=SetUpPiece(use.set_up.depth, self._piece(use.set_up.name, use.set_up.minutes)),
            now=now,
            waiting=waiting - now,
            once=once,
        )

    def _piece(self, name: str, minutes: Minutes, parts: Fraction = Fraction(0)) -> Piece:
        rate = Fraction(self.book.hour.amount) / MINUTES_PER_HOUR
        mean = rate * Fraction(minutes.expected) + parts
        return Piece(name, mean, rate**2 * Fraction(minutes.variance))

    def _parts(self, use: RemedyUse) -> Fraction:
        """Return what the parts of one time cost; pins on average over all times."""
        prices = self.book.parts
        needed = sum(
            (need.quantity * prices[need.part_id].price.amount for need in use.needs), Decimal(0)
        )
        pins = sum(
            (pin.quantity * prices[pin.part_id].price.amount for pin in use.pins),
            use.pins_of_unknown_size * self.pin_price,
        )
        return Fraction(needed) + Fraction(pins) / use.times
