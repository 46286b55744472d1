from decimal import Decimal

import pytest

from billing.rules.extra_work import further_set_up, tolerance_left
from diagnostics.rules.estimate import Minutes, SetUp


def minutes(*points):
    return Minutes(*map(Decimal, points))


@pytest.mark.parametrize(
    ("agreed", "tolerated", "percent", "most", "left"),
    [
        # By hand: 10 % of 58.05 is 5.805, rounded up to the cent.
        ("58.05", "0", "10", None, "5.81"),
        ("58.05", "4.00", "10", None, "1.81"),
        ("58.05", "6.00", "10", None, "0"),
        ("1000.00", "0", "10", "40.00", "40.00"),
        ("100.00", "5.00", "10", "40.00", "5.00"),
        ("100.00", "0", "0", None, "0"),
        ("100.00", "0", "100", "0", "0"),
    ],
)
def test_so_much_more_may_be_done_without_asking(agreed, tolerated, percent, most, left):
    found = tolerance_left(
        Decimal(agreed),
        Decimal(tolerated),
        percent=Decimal(percent),
        most=most and Decimal(most),
        decimals=2,
    )
    assert found == Decimal(left)


@pytest.mark.parametrize(
    ("reached", "charged", "further"),
    [
        (0, (0, 0, 0), (15, 20, 25)),
        (1, (5, 8, 10), (10, 12, 15)),
        (1, (20, 8, 10), (0, 12, 15)),
        (3, (0, 0, 0), (0, 0, 0)),
        (4, (5, 8, 10), (0, 0, 0)),
    ],
    ids=["nothing yet", "less deep", "a long way for little", "as deep", "deeper"],
)
def test_a_set_up_is_charged_once(reached, charged, further):
    out = SetUp("out", "Action out", 3, minutes(15, 20, 25))
    assert further_set_up(out, reached, minutes(*charged)).minutes == minutes(*further)
