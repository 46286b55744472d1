"""Wood and the air: its equilibrium moisture content, and how far it moves across the grain.

Moisture content is in percent of the oven-dry weight; temperatures are in degrees Celsius.
"""

from bisect import bisect_left
from dataclasses import dataclass

from diagnostics.rules.formulas import Formula

EQUILIBRIUM = Formula(
    "equilibrium moisture content of wood, equation 4-5 (°C)",
    "Wood Handbook, FPL-GTR-282 (2021), chapter 4",
)
BY_COEFFICIENT = Formula(
    "width x coefficient x change of moisture content, from 6 to 14 %",
    "Wood Handbook, FPL-GTR-190 (2010), Table 13-5",
)
BY_SHRINKAGE = Formula(
    "width x change of moisture content / (30 x 100 / total shrinkage - 30 + moisture content"
    " before)",
    "Wood Handbook, FPL-GTR-190 (2010), chapter 13 (from memory)",
)

# Below -37 °C a coefficient of the equation turns negative; its table ends at 132.2 °C.
LOWEST_TEMPERATURE_C, HIGHEST_TEMPERATURE_C = -30.0, 132.2
# What Table 4-2 spans, 30 to 270 °F and 5 to 95 %; beyond it the equation extrapolates.
TABLE_TEMPERATURE_C = (-1.2, HIGHEST_TEMPERATURE_C)
TABLE_HUMIDITY_PERCENT = (5.0, 95.0)
# Between these moisture contents the coefficients of Table 13-5 hold.
COEFFICIENT_MOISTURE_PERCENT = (6.0, 14.0)
# Above this, the fibre saturation point, wood swells no further.
FIBRE_SATURATION_PERCENT = 30.0
HUMIDITY_STEPS_PER_PERCENT = 1000


@dataclass(frozen=True)
class Movement:
    """How much a width grows (or shrinks, below nought), and by which formula.

    `is_extrapolated` says that a moisture content lies outside 6 to 14 %, where the published
    coefficients do not hold.
    """

    change_mm: float
    is_extrapolated: bool
    formula: Formula


def equilibrium_moisture_percent(temperature_c: float, humidity_percent: float) -> float:
    """Return the moisture content that wood settles at in air of this temperature and humidity.

    Source: Wood Handbook, FPL-GTR-282 (2021), equation 4-5 with the constants for °C.

    Raises:
        ValueError: the equation does not reach there.
    """
    _check_temperature(temperature_c)
    if not 0 <= humidity_percent <= 100:
        raise ValueError(f"Relative humidity is 0 to 100 %; this is {humidity_percent:g} %.")
    t, h = temperature_c, humidity_percent / 100
    w = 349 + 1.29 * t + 0.0135 * t**2
    k = 0.805 + 0.000736 * t - 0.00000273 * t**2
    k1 = 6.27 - 0.00938 * t - 0.000303 * t**2
    k2 = 1.91 + 0.0407 * t - 0.000293 * t**2
    first, second = k1 * k * h, k1 * k2 * (k * h) ** 2
    bound = (first + 2 * second) / (1 + first + second)
    return 1800 / w * (k * h / (1 - k * h) + bound)


def humidity_for_moisture_percent(temperature_c: float, moisture_percent: float) -> float:
    """Return the relative humidity, to 0.001 %, that gives wood this moisture content.

    Source: equation 4-5, as above, solved by bisection: moisture content grows with humidity.

    Raises:
        ValueError: no humidity gives it at this temperature.
    """
    most = equilibrium_moisture_percent(temperature_c, 100)
    if not 0 <= moisture_percent <= most:
        raise ValueError(
            f"At {temperature_c:g} °C air gives wood 0 to {most:.1f} % moisture content;"
            f" this is {moisture_percent:g} %."
        )
    step = bisect_left(
        range(100 * HUMIDITY_STEPS_PER_PERCENT),
        moisture_percent,
        key=lambda step: equilibrium_moisture_percent(
            temperature_c, step / HUMIDITY_STEPS_PER_PERCENT
        ),
    )
    return step / HUMIDITY_STEPS_PER_PERCENT


def equilibrium_is_extrapolated(temperature_c: float, humidity_percent: float) -> bool:
    """Return whether this air lies outside Table 4-2, which equation 4-5 was made from."""
    lowest_c, highest_c = TABLE_TEMPERATURE_C
    driest, dampest = TABLE_HUMIDITY_PERCENT
    within = lowest_c <= temperature_c <= highest_c and driest <= humidity_percent <= dampest
    return not within


def movement_across_grain(
    *,
    width_mm: float,
    from_percent: float,
    to_percent: float,
    coefficient: float,
    shrinkage_percent: float,
) -> Movement:
    """Return how much `width_mm` changes when its moisture content does.

    `coefficient` is the dimensional change per percent of moisture content, which holds from 6 to
    14 %; outside, the total shrinkage from green to oven-dry is used, spread evenly below the
    fibre saturation point.
    Source: Wood Handbook, FPL-GTR-190 (2010), chapter 13, Table 13-5 and its text.

    Raises:
        ValueError: a width or moisture content that no dry wood has.
    """
    if width_mm <= 0:
        raise ValueError(f"A width is more than 0 mm; this is {width_mm:g} mm.")
    for moisture in (from_percent, to_percent):
        if not 0 <= moisture <= FIBRE_SATURATION_PERCENT:
            raise ValueError(
                f"Wood moves from 0 to {FIBRE_SATURATION_PERCENT:g} % moisture content;"
                f" this is {moisture:g} %."
            )
    change = to_percent - from_percent
    lowest, highest = COEFFICIENT_MOISTURE_PERCENT
    if lowest <= min(from_percent, to_percent) and max(from_percent, to_percent) <= highest:
        near_mm = width_mm * coefficient * change
        return Movement(near_mm, is_extrapolated=False, formula=BY_COEFFICIENT)
    saturation = FIBRE_SATURATION_PERCENT
    divisor = saturation * 100 / shrinkage_percent - saturation + from_percent
    return Movement(width_mm * change / divisor, is_extrapolated=True, formula=BY_SHRINKAGE)


def _check_temperature(temperature_c: float) -> None:
    if not LOWEST_TEMPERATURE_C <= temperature_c <= HIGHEST_TEMPERATURE_C:
        raise ValueError(
            f"The equation for wood holds from {LOWEST_TEMPERATURE_C:g} to"
            f" {HIGHEST_TEMPERATURE_C:g} °C; this is {temperature_c:g} °C."
        )
