from decimal import Decimal

import pytest

from diagnostics.rules.ranges import Range, Standing, judging_range
from diagnostics.rules.sections import Section

WHOLE = Range("whole", "Up weight", "up_weight_g", low=Decimal(20), judges=True)
BASS = Range("bass", "Up weight, bass", "up_weight_g", low=Decimal(18), section="bass", judges=True)
SHOWN = Range("shown", "Up weight, concert", "up_weight_g", low=Decimal(25))


@pytest.mark.parametrize(
    ("low", "high", "value", "standing"),
    [
        ("2", "5", "1.9", Standing.LOW),
        ("2", "5", "2", Standing.WITHIN),
        ("2", "5", "5", Standing.WITHIN),
        ("2", "5", "5.01", Standing.HIGH),
        (None, "6", "0", Standing.WITHIN),
        ("20", None, "300", Standing.WITHIN),
        ("0", None, "0", Standing.WITHIN),
    ],
)
def test_a_value_is_low_within_or_high(low, high, value, standing):
    ends = [end and Decimal(end) for end in (low, high)]
    assert Range("x", "X", "x", *ends).standing(Decimal(value)) == standing


def test_a_sections_own_range_judges_before_the_wholes():
    for order in ([WHOLE, BASS, SHOWN], [SHOWN, BASS, WHOLE]):
        assert judging_range(order, "up_weight_g", Section.BASS) == BASS
        assert judging_range(order, "up_weight_g", Section.TREBLE) == WHOLE


def test_nothing_judges_what_no_range_is_for():
    assert judging_range([SHOWN], "up_weight_g", Section.BASS) is None
    assert judging_range([WHOLE, BASS], "down_weight_g", Section.BASS) is None
