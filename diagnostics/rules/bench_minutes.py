"""The catalogue's minutes, moved by what the shop's own work took."""

from dataclasses import dataclass
from decimal import Decimal

from diagnostics.rules.estimate import Minutes
from diagnostics.rules.formulas import Formula

SHRINKAGE = Formula(
    "mean of the catalogue's minutes, at its weight, and the shop's own",
    'Gelman and others, "Bayesian Data Analysis", 3rd edition, section 2.5.',
)

# What the catalogue's figures weigh, in times the work was done (estimate).
CATALOGUE_WEIGHT = 8
TENTH = Decimal("0.1")


@dataclass(frozen=True)
class BenchMinutes:
    """How often the shop did a remedy, and the minutes of all those times together."""

    times: int
    minutes: Decimal

    @property
    def mean(self) -> Decimal:
        """The minutes of one time."""
        return self.minutes / self.times


def moved_minutes(
    catalogue: Minutes, bench: BenchMinutes | None, weight: int = CATALOGUE_WEIGHT
) -> Minutes:
    """Return the catalogue's minutes of one time, moved towards the shop's, to a tenth of a minute.

    The expected minutes become the mean of the catalogue's, counted `weight` times, and the shop's
    own; the three points move in that proportion. Work that takes no time in the catalogue stays
    so: there is nothing to move.
    Source: the mean of a normal posterior, Gelman and others, "Bayesian Data Analysis", 3rd
    edition, section 2.5 (from memory).
    """
    if bench is None or not catalogue.expected:
        return catalogue
    mean = (weight * catalogue.expected + bench.minutes) / (weight + bench.times)
    factor = mean / catalogue.expected
    return Minutes(
        *(
            (each * factor).quantize(TENTH)
            for each in (catalogue.low, catalogue.likely, catalogue.high)
        )
    )
