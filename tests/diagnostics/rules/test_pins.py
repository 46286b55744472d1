from decimal import Decimal
from fractions import Fraction
from math import comb

import pytest

from diagnostics.rules.pins import pin_for_worn, pin_kit

SHARES = {
    "20": Decimal("0.35"),
    "20.5": Decimal("0.30"),
    "21": Decimal("0.20"),
    "21.5": Decimal("0.15"),
}
# Inch scheme, micrometres: thousandths of an inch are 10 + 2 N. Source: a technician's public page
# on repinning hammer flanges.
INCH = {1: 1270, 2: 1295, 3: 1321, 4: 1346, 5: 1372}
HALF_SIZE_INCH = Decimal("25.4")


def chance_of_enough(count: int, centres: int, share: Decimal) -> float:
    """Exact binomial probability that `count` pins are enough."""
    p = Fraction(share)
    return float(sum(comb(centres, k) * p**k * (1 - p) ** (centres - k) for k in range(count + 1)))


@pytest.mark.parametrize("centres", [1, 2, 5, 12, 30, 61, 88])
def test_each_size_alone_is_enough_in_about_nineteen_jobs_of_twenty(centres):
    kit = pin_kit(centres, SHARES)
    for label, share in SHARES.items():
        assert chance_of_enough(kit[label], centres, share) > 0.93


@pytest.mark.parametrize("centres", [1, 5, 88])
def test_no_size_is_taken_more_often_than_there_are_centres(centres):
    assert all(count <= centres for count in pin_kit(centres, SHARES).values())


def test_no_centres_need_no_kit():
    assert pin_kit(0, SHARES) == {}


@pytest.mark.parametrize(
    ("measured_um", "part"),
    [
        (1270, 2),  # a 20 found: 20 1/2 next
        (1258, 2),  # a 20 worn by half a thousandth of an inch still is a 20
        (1283, 3),  # nearer to 1321 than to 1295 once a half size is added
        (2000, 5),  # thicker than all: the thickest
    ],
)
def test_the_next_pin_is_matched_by_diameter(measured_um, part):
    assert pin_for_worn(measured_um, HALF_SIZE_INCH, INCH) == part
