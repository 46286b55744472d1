import pytest

from diagnostics.rules.wood import (
    equilibrium_is_extrapolated,
    equilibrium_moisture_percent,
    humidity_for_moisture_percent,
    movement_across_grain,
)

# Degrees Fahrenheit, % relative humidity, % moisture content.
# Source: Wood Handbook, FPL-GTR-282 (2021), Table 4-2.
EQUILIBRIUM = [
    *[(30, 50, 9.5), (30, 75, 14.9), (30, 95, 24.3), (40, 65, 12.3), (50, 40, 7.9)],
    *[(50, 80, 16.4), (60, 30, 6.2), (60, 65, 12.1), (70, 5, 1.3), (70, 10, 2.5)],
    *[(70, 20, 4.5), (70, 25, 5.4), (70, 30, 6.2), (70, 40, 7.7), (70, 45, 8.5)],
    *[(70, 50, 9.2), (70, 60, 11.0), (70, 65, 12.0), (70, 75, 14.4), (70, 80, 16.0)],
    *[(70, 85, 17.9), (70, 90, 20.5), (70, 95, 23.9), (80, 50, 9.1), (80, 70, 12.9)],
    *[(90, 45, 8.1), (90, 75, 13.9), (100, 50, 8.7), (100, 70, 12.3), (100, 90, 19.5)],
]
# The table is printed to 0.1 and in degrees Fahrenheit; the equation's °C form misses it by at most
# 0.052 beyond rounding of both.
TOLERANCE_PERCENT = 0.06


@pytest.mark.parametrize(("temperature_f", "humidity", "moisture"), EQUILIBRIUM)
def test_wood_settles_at_the_published_moisture_content(temperature_f, humidity, moisture):
    found = equilibrium_moisture_percent((temperature_f - 32) / 1.8, humidity)
    assert found == pytest.approx(moisture, abs=TOLERANCE_PERCENT)


# The same table read backwards. Between 30 and 90 % a tenth of moisture content is at most 0.7 %
# of humidity.
@pytest.mark.parametrize(
    ("temperature_f", "humidity", "moisture"),
    [cell for cell in EQUILIBRIUM if 30 <= cell[1] <= 90],
)
def test_the_humidity_for_a_moisture_content_is_the_published_one(
    temperature_f, humidity, moisture
):
    found = humidity_for_moisture_percent((temperature_f - 32) / 1.8, moisture)
    assert found == pytest.approx(humidity, abs=0.7)


@pytest.mark.parametrize("temperature", [-30, -1.1, 20, 60])
@pytest.mark.parametrize("humidity", [0, 0.5, 42, 99, 100])
def test_the_inverse_undoes_the_equation(temperature, humidity):
    moisture = equilibrium_moisture_percent(temperature, humidity)
    assert humidity_for_moisture_percent(temperature, moisture) == pytest.approx(
        humidity, abs=0.002
    )


@pytest.mark.parametrize(
    ("temperature", "humidity", "sentence"),
    [
        (20, -0.1, "Relative humidity is 0 to 100 %; this is -0.1 %"),
        (20, 100.5, "this is 100.5 %"),
        (-30.5, 50, "holds from -30 to 132.2 °C; this is -30.5 °C"),
        (133, 50, "this is 133 °C"),
        (20, float("nan"), "this is nan %"),
        (float("nan"), 50, "this is nan °C"),
    ],
)
def test_air_that_the_equation_does_not_reach_is_refused(temperature, humidity, sentence):
    with pytest.raises(ValueError, match=sentence):
        equilibrium_moisture_percent(temperature, humidity)


@pytest.mark.parametrize("moisture", [-1, 29, float("nan")])
def test_a_moisture_content_that_no_air_gives_is_refused(moisture):
    with pytest.raises(ValueError, match=r"At 20 °C air gives wood 0 to 28\.8 % moisture content"):
        humidity_for_moisture_percent(20, moisture)


# Source: Table 4-2 spans 30 to 270 °F (-1.1 to 132.2 °C) and 5 to 95 %.
@pytest.mark.parametrize(
    ("temperature", "humidity", "is_extrapolated"),
    [
        (-1.1, 5, False),
        (132.2, 95, False),
        (-1.5, 50, True),
        (20, 4.9, True),
        (20, 95.1, True),
    ],
)
def test_air_outside_the_published_table_is_told_apart(temperature, humidity, is_extrapolated):
    assert equilibrium_is_extrapolated(temperature, humidity) is is_extrapolated


def moved(width, before, after, coefficient=0.0033, shrinkage=9.3):
    return movement_across_grain(
        width_mm=width,
        from_percent=before,
        to_percent=after,
        coefficient=coefficient,
        shrinkage_percent=shrinkage,
    )


# Coefficients per percent, and total shrinkage in percent: radial, tangential.
# Source of the coefficients: Wood Handbook, FPL-GTR-190 (2010), Table 13-5; of the shrinkage:
# Table 4-3. That a coefficient follows from the shrinkage ties the equation for outside 6 to 14 %,
# which is from memory, to two published tables: with 10 % before it gives each of them.
SPECIES = {
    "basswood": ((0.00230, 6.6), (0.00330, 9.3)),
    "beech": ((0.00190, 5.5), (0.00431, 11.9)),
    "yellow birch": ((0.00256, 7.3), (0.00338, 9.5)),
}


@pytest.mark.parametrize(
    ("coefficient", "shrinkage"), [pair for pairs in SPECIES.values() for pair in pairs]
)
def test_both_equations_agree_about_one_percent_from_ten(coefficient, shrinkage):
    far = moved(1000, 10, 15, coefficient, shrinkage)
    assert far.is_extrapolated
    assert far.change_mm / 1000 / 5 == pytest.approx(coefficient, abs=0.000006)


def test_between_6_and_14_percent_the_coefficient_holds():
    # 22.5 mm of basswood, tangential, over 4 points: 22.5 x 0.00330 x 4.
    # Source of the coefficient and the equation: Table 13-5.
    near = moved(22.5, 8, 12)
    assert near.change_mm == pytest.approx(0.297)
    assert not near.is_extrapolated
    assert "Table 13-5" in near.source


def test_wood_shrinks_back_as_it_swelled():
    assert moved(22.5, 12, 8).change_mm == pytest.approx(-0.297)


@pytest.mark.parametrize(("before", "after"), [(5.9, 8), (8, 14.1), (5, 15), (14.1, 8)])
def test_outside_6_to_14_percent_the_other_equation_is_used_and_said(before, after):
    far = moved(22.5, before, after)
    assert far.is_extrapolated
    assert "total shrinkage" in far.formula


@pytest.mark.parametrize(
    ("width", "before", "after", "sentence"),
    [
        (0, 8, 12, "more than 0 mm; this is 0 mm"),
        (22.5, -1, 12, "from 0 to 30 % moisture content; this is -1 %"),
        (22.5, 8, 30.5, "this is 30.5 %"),
        (22.5, 8, float("nan"), "this is nan %"),
    ],
)
def test_movement_that_no_wood_makes_is_refused(width, before, after, sentence):
    with pytest.raises(ValueError, match=sentence):
        moved(width, before, after)
