import random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from statsmodels.nonparametric.smoothers_lowess import lowess as reference

from diagnostics.rules.smoothing import lowess

values = st.floats(-100, 100).map(lambda value: round(value, 3))


@given(st.lists(values, min_size=8, max_size=60), st.data())
def test_the_smooth_line_is_that_of_statsmodels(heights, data):
    # A little scatter: where most points lie on a line exactly, rounding decides their weight.
    scatter = random.Random(len(heights))
    heights = [height + scatter.uniform(-0.5, 0.5) for height in heights]
    gaps = data.draw(st.lists(st.integers(1, 4), min_size=len(heights), max_size=len(heights)))
    places = [float(sum(gaps[: end + 1])) for end in range(len(gaps))]
    neighbours = data.draw(st.integers(6, len(heights)))
    expected = reference(heights, places, frac=neighbours / len(heights), it=3, return_sorted=False)
    assert lowess(places, heights, neighbours) == pytest.approx(list(expected), abs=1e-6)


@pytest.mark.parametrize("resolution", [0.0, 0.5])
def test_a_straight_line_stays_what_it_is(resolution):
    line = [40 - 0.05 * place for place in range(88)]
    assert lowess(range(88), line, 29, resolution=resolution) == pytest.approx(line)


@pytest.mark.parametrize("odd", [0, 1, 44, 87])
def test_one_odd_note_does_not_pull_its_neighbours_along(odd):
    heights = [12.0] * 88
    heights[odd] = 30.0
    assert lowess(range(88), heights, 29, resolution=0.5) == pytest.approx([12.0] * 88, abs=0.01)


@pytest.mark.parametrize(
    ("places", "neighbours", "sentence"),
    [
        ([1, 2, 3, 4], 2, "2 neighbours of 4 points"),
        ([1, 2, 3, 4], 5, "5 neighbours of 4 points"),
        ([1, 2, 2, 4], 3, "must rise"),
        ([4, 3, 2, 1], 3, "must rise"),
        ([], 3, "3 neighbours of 0 points"),
    ],
)
def test_points_that_make_no_line_are_refused(places, neighbours, sentence):
    with pytest.raises(ValueError, match=sentence):
        lowess(places, [1.0] * len(places), neighbours)
