from decimal import Decimal

import pytest

from diagnostics.api.pin_examples import CENTRES
from tests.factories.diagnostics import (
    CauseFactory,
    ComponentFactory,
    ExaminationFactory,
    FindingFactory,
    MeasuredRangeFactory,
    MeasurementFactory,
)


@pytest.fixture
def flange(db):
    return ComponentFactory(code="flange")


@pytest.fixture
def ranges(flange):
    """2 to 5 g at 23 mm, as a maker's manual has it; 4 to 8 passes, common practice."""
    MeasuredRangeFactory(code="friction", friction=True, component=flange, judges=True)
    MeasuredRangeFactory(code="swings", swings=True, component=flange, judges=True)


def centres(caller, examination):
    return caller.get(f"examinations/{examination.pk}/centres")["centres"]


def measured(examination, quantity, value, note=60, **columns):
    beside = {key: columns.pop(key) for key in ("radius_mm", "swings_counted") if key in columns}
    finding = FindingFactory(examination=examination, note_midi=note, **columns)
    MeasurementFactory(finding=finding, quantity=quantity, value=value, **beside)
    return finding


# A maker's manual has 2 g and 5 g at 23 mm, which are torques of 46 and 115 gf.mm: by hand.
@pytest.mark.parametrize(
    ("force_g", "radius_mm", "standing"),
    [
        ("2", "23", "within"),
        ("5", "23", "within"),
        ("5.1", "23", "high"),
        ("1.9", "23", "low"),
        ("5", "46", "high"),  # 230 gf.mm, though only 5 g
        ("1", "46", "within"),  # 46 gf.mm, though only 1 g
        ("9", "12", "within"),  # 108 gf.mm, though 9 g
    ],
)
def test_friction_is_judged_by_its_torque(
    technician, upright_examined, ranges, flange, force_g, radius_mm, standing
):
    measured(upright_examined, "friction_g", force_g, component=flange, radius_mm=radius_mm)
    (centre,) = centres(technician, upright_examined)
    assert centre["friction"]["judgement"]["standing"] == standing
    assert centre["friction"]["judgement"]["by"]["code"] == "friction"


def test_friction_is_shown_as_torque_and_the_range_at_its_radius(
    technician, upright_examined, ranges, flange
):
    finding = measured(upright_examined, "friction_g", 4, component=flange, radius_mm=46)
    (centre,) = centres(technician, upright_examined)
    assert centre == CENTRES["centres"][0] | {"finding": finding.pk}
    # 4 g at 46 mm; 9.80665 µN.m to the gram-force millimetre (BIPM: standard gravity).
    assert centre["friction"]["torque_gf_mm"] == "184"
    assert centre["friction"]["torque_mn_m"] == "1.8"
    judgement = centre["friction"]["judgement"]
    assert (judgement["low"], judgement["high"]) == ("1", "2.5")
    assert (judgement["by"]["low"], judgement["by"]["high"]) == ("2", "5")
    assert (centre["note"], centre["component"], centre["swings"]) == ("C4", "flange", None)


@pytest.mark.parametrize(
    ("swings", "counted", "standing"),
    [
        ("6", "passes", "within"),  # common practice: six swings are right
        ("2", "passes", "low"),
        ("2", "full_cycles", "within"),  # four passes
        ("5", "full_cycles", "high"),  # ten passes
    ],
)
def test_swings_are_judged_by_passes_however_they_were_counted(
    technician, upright_examined, ranges, swings, counted, standing
):
    measured(upright_examined, "swings", swings, swings_counted=counted)
    (centre,) = centres(technician, upright_examined)
    assert centre["swings"]["judgement"]["standing"] == standing
    assert centre["swings"]["swings_counted"] == counted


def test_the_range_of_swings_is_shown_as_they_were_counted(technician, upright_examined, ranges):
    measured(upright_examined, "swings", 3, swings_counted="full_cycles")
    (centre,) = centres(technician, upright_examined)
    judgement = centre["swings"]["judgement"]
    assert (centre["swings"]["passes"], judgement["low"], judgement["high"]) == ("6", "2", "4")


def test_the_cause_names_the_component_where_the_finding_does_not(
    technician, upright_examined, ranges, flange
):
    by_cause = CauseFactory(component=flange)
    measured(upright_examined, "friction_g", 9, cause=by_cause, radius_mm=23)
    (centre,) = centres(technician, upright_examined)
    assert centre["friction"]["judgement"]["standing"] == "high"


def test_friction_of_what_no_range_is_for_is_not_judged(technician, upright_examined, ranges):
    jack = ComponentFactory(code="jack")
    # One shop's tolerance, published without its radius: it judges nothing.
    MeasuredRangeFactory(quantity="friction_g", low=1, high=2, component=jack)
    measured(upright_examined, "friction_g", 9, note=60, component=jack, radius_mm=23)
    measured(upright_examined, "friction_g", 9, note=61, radius_mm=23)
    judged = [row["friction"]["judgement"] for row in centres(technician, upright_examined)]
    assert judged == [None, None]


def test_a_range_of_another_action_does_not_judge(technician, grand_examined, flange):
    MeasuredRangeFactory(
        friction=True, component=flange, judges=True, actions=["upright", "spinet"]
    )
    measured(grand_examined, "friction_g", 9, component=flange, radius_mm=23)
    (centre,) = centres(technician, grand_examined)
    assert centre["friction"]["judgement"] is None


def test_a_range_of_the_section_goes_before_that_of_the_whole(
    technician, upright_examined, ranges, flange
):
    # Six in the bass and four in the treble, counting passes: a technicians' mailing list, 2006.
    for section, swings in (("bass", 6), ("treble", 4)):
        MeasuredRangeFactory(
            code=section,
            quantity="swings",
            swings_counted="passes",
            component=flange,
            section=section,
            low=swings,
            high=swings,
            judges=True,
        )
    for note in (24, 60, 105):
        measured(upright_examined, "swings", 5, note=note, swings_counted="passes")
    judged = [row["swings"]["judgement"] for row in centres(technician, upright_examined)]
    assert [(each["by"]["code"], each["standing"]) for each in judged] == [
        ("bass", "low"),
        ("swings", "within"),
        ("treble", "high"),
    ]


def test_a_pin_that_was_measured_may_be_of_several_sizes(technician, upright_examined):
    measured(upright_examined, "pin_diameter_um", 1283)
    (centre,) = centres(technician, upright_examined)
    assert centre["pin_diameter_um"] == 1283
    # Between the inch sizes 20 (1270 µm) and 20 1/2 (1295 µm).
    assert [(size["scheme"], size["spoken"]) for size in centre["pin_could_be"]] == [
        ("metric", "20 1/2"),
        ("inch", "20 1/2"),
        ("inch", "20"),
        ("metric", "21"),
    ]


def test_what_is_not_of_a_centre_is_left_out(technician, upright_examined):
    measured(upright_examined, "down_weight_g", 52)
    FindingFactory(examination=upright_examined, note_midi=61)
    measured(ExaminationFactory(), "swings", 6, swings_counted="passes")
    assert centres(technician, upright_examined) == []


def test_the_centres_of_no_examination_are_not_found(technician, nobody, upright_examined):
    technician.get("examinations/987654/centres", status=404)
    nobody.get(f"examinations/{upright_examined.pk}/centres", status=401)


def test_the_centres_cost_the_same_for_one_and_for_five(
    technician, upright_examined, ranges, flange, django_assert_num_queries
):
    for note in range(60, 65):
        measured(
            upright_examined,
            "friction_g",
            Decimal(4),
            note=note,
            component=flange,
            radius_mm=23,
        )
    # Token, examination, ranges, findings, measurements.
    with django_assert_num_queries(5):
        assert len(centres(technician, upright_examined)) == 5
