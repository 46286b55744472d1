"""Smoothing along the keyboard that a few odd notes do not pull away."""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from statistics import median

# Source: Cleveland, as below: further passes; what is left over is cut off at six times its median.
ROBUST_PASSES = 3
CUT_OFF_MEDIANS = 6
FEWEST_NEIGHBOURS = 3
NO_WEIGHT = 1e-12

# The places of a point's neighbours and what each weighs for being near.
Neighbourhood = list[tuple[int, float]]


def lowess(
    places: Sequence[float],
    values: Sequence[float],
    neighbours: int,
    *,
    resolution: float = 0.0,
) -> tuple[float, ...]:
    """Return the smooth value at each place: of the line through its nearest `neighbours`.

    `places` rise. Near points weigh more (tricube), and after each pass a point weighs less the
    farther it lies from its smooth value (bisquare). Values are read to `resolution`: points that
    lie as near as that are never called far, even where most lie on the line exactly.

    Source: W. S. Cleveland, "Robust locally weighted regression and smoothing scatterplots",
    Journal of the American Statistical Association 74 (1979), 829.

    Raises:
        ValueError: there are fewer than three neighbours or points, or places do not rise.
    """
    if not FEWEST_NEIGHBOURS <= neighbours <= len(places):
        raise ValueError(f"{neighbours} neighbours of {len(places)} points make no smooth line.")
    if any(after <= before for before, after in pairwise(places)):
        raise ValueError("Places must rise.")
    near = list(_neighbourhoods(places, neighbours))
    trust = [1.0] * len(places)
    smooth = _lines(places, values, near, trust)
    for _ in range(ROBUST_PASSES):
        trust = _trust(values, smooth, resolution)
        smooth = _lines(places, values, near, trust)
    return tuple(smooth)


def _neighbourhoods(places: Sequence[float], neighbours: int) -> Iterator[Neighbourhood]:
    first = 0
    for place in places:
        while first + neighbours < len(places) and (
            place - places[first] > places[first + neighbours] - place
        ):
            first += 1
        window = range(first, first + neighbours)
        radius = max(place - places[window[0]], places[window[-1]] - place)
        yield [(index, (1 - (abs(places[index] - place) / radius) ** 3) ** 3) for index in window]


def _lines(
    places: Sequence[float],
    values: Sequence[float],
    near: Sequence[Neighbourhood],
    trust: Sequence[float],
) -> list[float]:
    return [
        _line_at(index, places, values, [(other, weight * trust[other]) for other, weight in nears])
        for index, nears in enumerate(near)
    ]


def _line_at(
    index: int, places: Sequence[float], values: Sequence[float], weighted: Neighbourhood
) -> float:
    """Return the height of the weighted line there, or the value itself without two points."""
    used = [
        (places[other], values[other], weight) for other, weight in weighted if weight > NO_WEIGHT
    ]
    if len(used) < 2:
        return values[index]
    total = sum(weight for _, _, weight in used)
    middle = sum(weight * place for place, _, weight in used) / total
    height = sum(weight * value for _, value, weight in used) / total
    across = sum(weight * (place - middle) ** 2 for place, _, weight in used)
    up = sum(weight * (place - middle) * value for place, value, weight in used)
    return height + (places[index] - middle) * up / across


def _trust(values: Sequence[float], smooth: Sequence[float], resolution: float) -> list[float]:
    """Return what each point weighs for lying near its smooth value."""
    left_over = [abs(value - fit) for value, fit in zip(values, smooth, strict=True)]
    cut_off = CUT_OFF_MEDIANS * max(median(left_over), resolution)
    if not cut_off:
        return [1.0 if left == 0 else 0.0 for left in left_over]
    return [max(0.0, 1 - (left / cut_off) ** 2) ** 2 for left in left_over]
