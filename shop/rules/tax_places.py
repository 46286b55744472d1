"""Which rate of tax holds at a place."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True)
class TaxPlace:
    """Where work is done: a country, and a region of it where tax differs; both may be unknown."""

    country: str = ""
    region: str = ""


@dataclass(frozen=True)
class PlacedRate:
    """The percentage of a category of tax at a place; an empty place is everywhere."""

    category_id: int
    place: TaxPlace
    percent: Decimal


def rates_at(place: TaxPlace, rates: Iterable[PlacedRate]) -> dict[int, Decimal]:
    """Return the percentage of each category at `place`: the most particular rate that holds.

    A rate of the region comes before one of the country, and that before one of no country.
    """
    holding = [rate for rate in rates if _holds(rate.place, place)]
    holding.sort(key=lambda rate: (bool(rate.place.country), bool(rate.place.region)))
    return {rate.category_id: rate.percent for rate in holding}


def _holds(of_rate: TaxPlace, at: TaxPlace) -> bool:
    in_country = of_rate.country in {"", at.country}
    return in_country and of_rate.region.casefold() in {"", at.region.casefold()}
