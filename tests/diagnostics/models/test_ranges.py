import pytest

from diagnostics.models import RangedQuantity, Register
from tests.factories.diagnostics import MeasuredRangeFactory
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db


def test_a_range_is_of_a_known_quantity():
    with refused("diagnostics_measuredrange_quantity_known"):
        MeasuredRangeFactory(quantity="colour")
    with accepted():
        MeasuredRangeFactory(quantity=RangedQuantity.BALANCE_WEIGHT_G)


def test_a_range_is_of_a_known_section():
    with refused("diagnostics_measuredrange_section_known"):
        MeasuredRangeFactory(section="alto")
    for section in Register.values:
        with accepted():
            MeasuredRangeFactory(section=section)


@pytest.mark.parametrize(("low", "high"), [(None, None), (5, 4), (-1, 4), (-1, None), (None, -1)])
def test_a_range_without_ends_or_upside_down_is_refused(low, high):
    with refused("diagnostics_measuredrange_ends_ordered"):
        MeasuredRangeFactory(low=low, high=high)


@pytest.mark.parametrize(("low", "high"), [(0, None), (None, 0), (4, 4), (4, 5)])
def test_a_range_has_one_end_or_both(low, high):
    with accepted():
        MeasuredRangeFactory(low=low, high=high)


@pytest.mark.parametrize(
    "columns",
    [
        {"friction": True, "radius_mm": None, "judges": True},
        {"friction": True, "radius_mm": 0},
        {"friction": True, "radius_mm": 301},
        {"radius_mm": 23},
    ],
)
def test_friction_is_not_judged_without_its_radius_and_nothing_else_has_one(columns):
    with refused("diagnostics_measuredrange_radius"):
        MeasuredRangeFactory(**columns)


@pytest.mark.parametrize(
    "columns",
    [
        {"friction": True, "judges": True},
        {"friction": True, "radius_mm": None},
        {"judges": True},
    ],
)
def test_friction_without_a_radius_is_kept_to_be_shown(columns):
    with accepted():
        MeasuredRangeFactory(**columns)


@pytest.mark.parametrize(
    "columns",
    [
        {"swings": True, "swings_counted": ""},
        {"swings": True, "swings_counted": "twice"},
        {"swings_counted": "passes"},
    ],
)
def test_swings_alone_say_how_they_are_counted(columns):
    with refused("diagnostics_measuredrange_swings_counted"):
        MeasuredRangeFactory(**columns)
    with accepted():
        MeasuredRangeFactory(swings=True)
