import pytest

from diagnostics.rules.wood import (
    equilibrium_is_extrapolated,
    equilibrium_moisture_percent,
    humidity_for_moisture_percent,
    movement_across_grain,
)

# Source: Wood Handbook, FPL-GTR-282 (2021), Table 4-2, moisture content in percent: a line for each
# temperature in degrees Fahrenheit, a column for each 5 % of relative humidity from 5 to 95 %.
# Written down from memory. The 30 cells of READ were read in public copies of the table. Of the
# cells from 30 to 100 °F and 5 to 90 %, 142 were once compared with the equation: it misses those
# by 0.023 on average and by 0.052 at most, and so it does these.
TABLE = """
 30 1.4 2.6 3.7 4.6 5.5 6.3 7.1 7.9 8.7 9.5 10.4 11.3 12.4 13.5 14.9 16.5 18.5 21.0 24.3
 40 1.4 2.6 3.7 4.6 5.5 6.3 7.1 7.9 8.7 9.5 10.4 11.3 12.3 13.5 14.9 16.5 18.5 21.0 24.3
 50 1.4 2.6 3.6 4.6 5.5 6.3 7.1 7.9 8.7 9.5 10.3 11.2 12.3 13.4 14.8 16.4 18.4 20.9 24.3
 60 1.3 2.5 3.6 4.6 5.4 6.2 7.0 7.8 8.6 9.4 10.2 11.1 12.1 13.3 14.6 16.2 18.2 20.7 24.1
 70 1.3 2.5 3.5 4.5 5.4 6.2 6.9 7.7 8.5 9.2 10.1 11.0 12.0 13.1 14.4 16.0 17.9 20.5 23.9
 80 1.3 2.4 3.5 4.4 5.3 6.1 6.8 7.6 8.3 9.1 9.9 10.8 11.7 12.9 14.2 15.7 17.7 20.2 23.6
 90 1.2 2.3 3.4 4.3 5.1 5.9 6.7 7.4 8.1 8.9 9.7 10.5 11.5 12.6 13.9 15.4 17.3 19.8 23.3
100 1.2 2.3 3.3 4.2 5.0 5.8 6.5 7.2 7.9 8.7 9.5 10.3 11.2 12.3 13.6 15.1 17.0 19.5 22.9
"""
EQUILIBRIUM = [
    (int(temperature), humidity, float(moisture))
    for temperature, *row in map(str.split, TABLE.strip().splitlines())
    for humidity, moisture in zip(range(5, 100, 5), row, strict=True)
]
# Degrees Fahrenheit, % relative humidity, % moisture content, as transcribed.
READ = {
    *[(30, 50, 9.5), (30, 75, 14.9), (30, 95, 24.3), (40, 65, 12.3), (50, 40, 7.9)],
    *[(50, 80, 16.4), (60, 30, 6.2), (60, 65, 12.1), (70, 5, 1.3), (70, 10, 2.5)],
    *[(70, 20, 4.5), (70, 25, 5.4), (70, 30, 6.2), (70, 40, 7.7), (70, 45, 8.5)],
    *[(70, 50, 9.2), (70, 60, 11.0), (70, 65, 12.0), (70, 75, 14.4), (70, 80, 16.0)],
    *[(70, 85, 17.9), (70, 90, 20.5), (70, 95, 23.9), (80, 50, 9.1), (80, 70, 12.9)],
    *[(90, 45, 8.1), (90, 75, 13.9), (100, 50, 8.7), (100, 70, 12.3), (100, 90, 19.5)],
}
# The table is printed to 0.1 and in degrees Fahrenheit; the equation's °C form misses it by at most
# 0.052 beyond rounding of both.
TOLERANCE_PERCENT = 0.06


def test_the_table_holds_the_cells_that_were_read():
    assert len(EQUILIBRIUM) == 152
    assert set(EQUILIBRIUM) >= READ


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


# 22.5 mm from 8.03 to 12.00 %, worked out apart from the program: width x coefficient x 3.97.
# Source of the coefficients and the equation: Wood Handbook, FPL-GTR-190 (2010), Table 13-5.
@pytest.mark.parametrize(
    ("coefficient", "change_mm"),
    [
        (0.00099, 0.088),  # sugar pine, radial
        (0.00194, 0.173),  # sugar pine, tangential
        (0.00071, 0.063),  # eastern white pine, radial
        (0.00212, 0.189),  # eastern white pine, tangential
        (0.00141, 0.126),  # western white pine, radial
        (0.00259, 0.231),  # western white pine, tangential
        (0.00148, 0.132),  # Sitka spruce, radial
        (0.00263, 0.235),  # Sitka spruce, tangential
        (0.00230, 0.205),  # basswood, radial
        (0.00330, 0.295),  # basswood, tangential
        (0.00165, 0.147),  # sugar maple, radial
        (0.00353, 0.315),  # sugar maple, tangential
        (0.00256, 0.229),  # yellow birch, radial
        (0.00338, 0.302),  # yellow birch, tangential
        (0.00190, 0.170),  # beech, radial
        (0.00431, 0.385),  # beech, tangential
    ],
)
def test_between_6_and_14_percent_the_coefficient_holds(coefficient, change_mm):
    near = moved(22.5, 8.03, 12.00, coefficient)
    assert near.change_mm == pytest.approx(change_mm, abs=0.0006)
    assert not near.is_extrapolated
    assert "Table 13-5" in near.formula.source


def test_wood_shrinks_back_as_it_swelled():
    assert moved(22.5, 12.00, 8.03).change_mm == pytest.approx(-0.295, abs=0.0006)


@pytest.mark.parametrize(("before", "after"), [(5.9, 8), (8, 14.1), (5, 15), (14.1, 8)])
def test_outside_6_to_14_percent_the_other_equation_is_used_and_said(before, after):
    far = moved(22.5, before, after)
    assert far.is_extrapolated
    assert "total shrinkage" in far.formula.name


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
