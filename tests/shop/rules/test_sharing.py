from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.rules.sharing import shared

# Source: M. L. Balinski and H. P. Young, Fair Representation (1982): the House of 1792 by
# Hamilton's method, 120 seats for the census of 1790. Populations from memory of the census.
CENSUS_1790 = {
    "Virginia": (630_560, 21),
    "Massachusetts": (475_327, 16),
    "Pennsylvania": (432_879, 14),
    "North Carolina": (353_523, 12),
    "New York": (331_589, 11),
    "Maryland": (278_514, 9),
    "Connecticut": (236_841, 8),
    "South Carolina": (206_236, 7),
    "New Jersey": (179_570, 6),
    "New Hampshire": (141_822, 5),
    "Vermont": (85_533, 3),
    "Georgia": (70_835, 2),
    "Kentucky": (68_705, 2),
    "Rhode Island": (68_446, 2),
    "Delaware": (55_540, 2),
}


def test_the_house_of_1792_is_shared_out_as_hamilton_did():
    weights = [Decimal(people) for people, _ in CENSUS_1790.values()]
    assert shared(Decimal(120), weights, 0) == [seats for _, seats in CENSUS_1790.values()]


@given(
    st.decimals(0, 10_000, places=2),
    st.lists(st.decimals(0, 1000, places=2), min_size=1, max_size=6).filter(any),
)
def test_shares_add_up_and_are_off_by_less_than_a_cent(amount, weights):
    shares = shared(amount, weights, 2)
    assert sum(shares) == amount
    for share, weight in zip(shares, weights, strict=True):
        assert abs(share - amount * weight / sum(weights)) < Decimal("0.01")


@pytest.mark.parametrize(
    ("amount", "weights"), [("1.005", [1]), ("-1", [1]), ("1", [0, 0]), ("1", [2, -1])]
)
def test_what_cannot_be_shared_out_is_refused(amount, weights):
    with pytest.raises(ValueError, match=r"decimals|nought"):
        shared(Decimal(amount), [Decimal(weight) for weight in weights], 2)
