import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnostics.rules.keyboard import COMPASSES, Compass
from diagnostics.rules.keyboard_geometry import (
    NATURAL_WIDTH_MM,
    OCTAVE_MM,
    SHARP_WIDTH_MM,
    Geometry,
)

ends = st.lists(st.integers(0, 127), min_size=2, max_size=2, unique=True).map(sorted)
compasses = st.sampled_from(list(COMPASSES.values())) | ends.map(lambda pair: Compass(*pair))


def test_an_octave_and_its_keys_are_as_wide_as_published():
    # Octave 164 to 165 mm, natural about 23.5 mm, sharp about 13.7 mm: encyclopaedias.
    assert 164 <= OCTAVE_MM <= 165
    # Whole keyboards of 88 measured 47 7/8 to 48 3/8 inches: technicians' mailing list, 2000.
    assert 47.875 * 25.4 <= Geometry(Compass()).width_mm <= 48.375 * 25.4
    assert (NATURAL_WIDTH_MM, SHARP_WIDTH_MM) == (23.5, 13.7)


@pytest.mark.parametrize(
    ("keys", "naturals"),
    [(85, 50), (88, 52), (97, 57)],  # published by makers: A0-A7, A0-C8, C0-C8
)
def test_a_keyboard_is_as_wide_as_its_naturals(keys, naturals):
    geometry = Geometry(COMPASSES[keys])
    assert len(geometry.keys) == keys
    assert sum(key.is_natural for key in geometry.keys.values()) == naturals
    assert geometry.width_mm == pytest.approx(naturals * 23.5)


# The tails of C to E share what two sharps leave of three naturals, (3 x 23.5 - 2 x 13.7) / 3
# = 14.367 mm; those of F to B what three leave of four, (4 x 23.5 - 3 x 13.7) / 4 = 13.225 mm.
@pytest.mark.parametrize(
    ("midi", "left_mm", "right_mm"),
    [
        (61, 14.367, 28.067),
        (63, 42.433, 56.133),
        (66, 70.5 + 13.225, 70.5 + 26.925),
        (68, 70.5 + 40.15, 70.5 + 53.85),
        (70, 70.5 + 67.075, 70.5 + 80.775),
    ],
)
def test_sharps_stand_off_the_middle_of_their_line(midi, left_mm, right_mm):
    key = Geometry(Compass(60, 72)).keys[midi]
    assert (key.left_mm, key.right_mm) == pytest.approx((left_mm, right_mm), abs=1e-3)


@given(compasses)
def test_the_keys_fill_the_keyboard_in_front_and_behind(compass):
    geometry = Geometry(compass)
    keys = list(geometry.keys.values())
    naturals = [key for key in keys if key.is_natural]
    for left, right in itertools.pairwise(naturals):
        assert right.left_mm == pytest.approx(left.right_mm)
    for left, right in itertools.pairwise(keys):
        assert right.tail_left_mm == pytest.approx(left.tail_right_mm)
    assert min(key.left_mm for key in keys) == pytest.approx(0)
    assert keys[0].tail_left_mm == pytest.approx(0)
    assert keys[-1].tail_right_mm == pytest.approx(geometry.width_mm)
