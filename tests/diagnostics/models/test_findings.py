from decimal import Decimal

import pytest

from diagnostics.models import CheckResult, Finding
from tests.factories.diagnostics import (
    BenchWorkFactory,
    CauseFactory,
    CheckFactory,
    CheckResultFactory,
    ComponentFactory,
    ExaminationFactory,
    FaultFactory,
    FindingFactory,
    MeasurementFactory,
    RemedyFactory,
)
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db

# 85 notes: A0 is 21 and A7 is 105. Source: MIDI 1.0, middle C is 60; seven octaves above 21.
OF_85 = {"instrument__lowest_midi": 21, "instrument__highest_midi": 105}


@pytest.mark.parametrize(
    ("rule", "factory"),
    [
        ("diagnostics_finding_note_in_compass", FindingFactory),
        ("diagnostics_checkresult_note_in_compass", CheckResultFactory),
        ("diagnostics_benchwork_note_in_compass", BenchWorkFactory),
    ],
)
@pytest.mark.parametrize(("outside", "inside"), [(106, 105), (20, 21), (0, None)])
def test_a_note_lies_within_the_compass(rule, factory, outside, inside):
    examination = ExaminationFactory(**OF_85)
    with refused(rule):
        factory(examination=examination, note_midi=outside)
    with accepted():
        row = factory(examination=examination, note_midi=inside)
    with refused(rule):
        type(row).objects.filter(pk=row.pk).update(note_midi=outside)
    with accepted():
        type(row).objects.filter(pk=row.pk).update(note_midi=inside)


def test_a_note_is_judged_by_its_own_instrument():
    with accepted():
        FindingFactory(examination=ExaminationFactory(), note_midi=106)


@pytest.mark.parametrize(
    ("rule", "factory", "column", "catalogue"),
    [
        ("diagnostics_finding_fits_action", FindingFactory, "fault", FaultFactory),
        ("diagnostics_finding_fits_action", FindingFactory, "component", ComponentFactory),
        ("diagnostics_finding_fits_action", FindingFactory, "cause", CauseFactory),
        ("diagnostics_finding_fits_action", FindingFactory, "remedy", RemedyFactory),
        ("diagnostics_checkresult_fits_action", CheckResultFactory, "check_made", CheckFactory),
        ("diagnostics_benchwork_fits_action", BenchWorkFactory, "remedy", RemedyFactory),
        ("diagnostics_benchwork_fits_action", BenchWorkFactory, "cause_found", CauseFactory),
    ],
)
def test_a_grand_has_no_bridle_strap(rule, factory, column, catalogue):
    grand = ExaminationFactory(instrument__grand=True)
    elsewhere = catalogue(actions=["upright", "spinet"])
    here = catalogue(actions=["grand"])
    with refused(rule):
        factory(examination=grand, **{column: elsewhere})
    with accepted():
        row = factory(examination=grand, **{column: here})
    with refused(rule):
        type(row).objects.filter(pk=row.pk).update(**{column: elsewhere})
    with accepted():
        factory(examination=ExaminationFactory(), **{column: elsewhere})


def test_an_outcome_and_a_severity_are_known():
    with refused("diagnostics_checkresult_outcome_known"):
        CheckResultFactory(outcome="maybe")
    with accepted():
        CheckResultFactory(outcome="unclear")
    with refused("diagnostics_finding_severity_known"):
        FindingFactory(severity="awful")
    with accepted():
        FindingFactory(severity="slight")


@pytest.mark.parametrize("note_midi", [60, None], ids=["a note", "the instrument"])
def test_a_check_has_one_result_on(note_midi):
    first = CheckResultFactory(note_midi=note_midi)
    same = {"examination": first.examination, "check_made": first.check_made}
    with refused("diagnostics_checkresult_once"):
        CheckResultFactory(**same, note_midi=note_midi, outcome="negative")
    with accepted():
        CheckResultFactory(**same, note_midi=61)
        CheckResultFactory(**same | {"check_made": CheckFactory()}, note_midi=note_midi)
        CheckResultFactory(**same | {"examination": ExaminationFactory()}, note_midi=note_midi)
    assert CheckResult.objects.count() == 4


@pytest.mark.parametrize("note_midi", [60, None], ids=["a note", "the instrument"])
@pytest.mark.parametrize("decided", [True, False], ids=["decided", "undecided"])
def test_a_fault_is_found_once_on(note_midi, decided):
    same = {
        "examination": ExaminationFactory(),
        "note_midi": note_midi,
        "fault": FaultFactory(),
        "component": ComponentFactory() if decided else None,
        "cause": CauseFactory() if decided else None,
    }
    FindingFactory(**same)
    with refused("diagnostics_finding_once"):
        FindingFactory(**same, severity="severe")
    with accepted():
        FindingFactory(**same | {"examination": ExaminationFactory()})
        FindingFactory(**same | {"note_midi": 61})
        FindingFactory(**same | {"fault": FaultFactory()})
        FindingFactory(**same | {"component": ComponentFactory()})
        FindingFactory(**same | {"cause": CauseFactory()})
    assert Finding.objects.count() == 6


@pytest.mark.parametrize(
    ("quantity", "lowest", "highest"),
    [
        # Common practice: no piano gives less or more.
        ("friction_g", 0, 100),
        ("swings", 0, 60),
        ("down_weight_g", 0, 300),
        ("up_weight_g", 0, 300),
        ("key_friction_g", 0, 100),
        ("key_dip_mm", 0, 30),
        ("pin_diameter_um", 500, 3000),
    ],
)
def test_a_measured_value_can_be_believed(quantity, lowest, highest):
    with_it = {
        "friction_g": {"radius_mm": 25},
        "swings": {"swings_counted": "passes"},
    }.get(quantity, {})
    for value in (lowest - Decimal("0.01"), highest + Decimal("0.01"), Decimal("999999.99")):
        with refused("diagnostics_measurement_believable"):
            MeasurementFactory(quantity=quantity, value=value, **with_it)
    for value in (lowest, highest):
        with accepted():
            MeasurementFactory(quantity=quantity, value=value, **with_it)


def test_what_is_measured_is_known():
    with refused("diagnostics_measurement_believable"):
        MeasurementFactory(quantity="loudness_db", value=60)
    with accepted():
        MeasurementFactory(quantity="key_dip_mm", value=10)


@pytest.mark.parametrize(
    ("rule", "wrong", "right"),
    [
        (
            "diagnostics_measurement_friction_radius",
            {"friction": True, "radius_mm": None},
            {"friction": True},
        ),
        (
            "diagnostics_measurement_friction_radius",
            {"friction": True, "radius_mm": Decimal("0.9")},
            {"friction": True},
        ),
        (
            "diagnostics_measurement_friction_radius",
            {"friction": True, "radius_mm": Decimal("300.1")},
            {"friction": True, "radius_mm": 300},
        ),
        ("diagnostics_measurement_friction_radius", {"radius_mm": 25}, {"radius_mm": None}),
        (
            "diagnostics_measurement_swings_counted",
            {"swings": True, "swings_counted": ""},
            {"swings": True},
        ),
        (
            "diagnostics_measurement_swings_counted",
            {"swings": True, "swings_counted": "halves"},
            {"swings": True, "swings_counted": "full_cycles"},
        ),
        (
            "diagnostics_measurement_swings_counted",
            {"swings_counted": "passes"},
            {"swings_counted": ""},
        ),
    ],
)
def test_a_measured_value_says_how_it_was_measured(rule, wrong, right):
    with refused(rule):
        MeasurementFactory(**wrong)
    with accepted():
        MeasurementFactory(**right)


def test_a_finding_has_each_measured_value_once():
    first = MeasurementFactory()
    with refused("diagnostics_measurement_once"):
        MeasurementFactory(finding=first.finding, value=10)
    with accepted():
        MeasurementFactory(finding=first.finding, swings=True)
        MeasurementFactory(finding=FindingFactory(), value=10)
