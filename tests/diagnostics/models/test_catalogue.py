from decimal import Decimal

import pytest

from diagnostics.models import FaultFamily
from tests.factories.diagnostics import (
    CauseFactory,
    CautionFactory,
    CheckFactory,
    ComponentFactory,
    FaultFactory,
    MeasuredRangeFactory,
    PinShareFactory,
    RemedyFactory,
    RemedyPartFactory,
    SetUpFactory,
    ToolFactory,
)
from tests.factories.shop import PartFactory
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "factory"),
    [
        ("diagnostics_component_provenance_known", ComponentFactory),
        ("diagnostics_fault_provenance_known", FaultFactory),
        ("diagnostics_setup_provenance_known", SetUpFactory),
        ("diagnostics_tool_provenance_known", ToolFactory),
        ("diagnostics_caution_provenance_known", CautionFactory),
        ("diagnostics_check_provenance_known", CheckFactory),
        ("diagnostics_remedy_provenance_known", RemedyFactory),
        ("diagnostics_cause_provenance_known", CauseFactory),
        ("diagnostics_measuredrange_provenance_known", MeasuredRangeFactory),
        ("diagnostics_pinshare_provenance_known", PinShareFactory),
    ],
)
def test_a_row_says_where_it_comes_from(rule, factory):
    for unknown in ("", "hearsay"):
        with refused(rule):
            factory(provenance=unknown)
    with accepted():
        factory(provenance="common practice")


@pytest.mark.parametrize(
    ("rule", "factory"),
    [
        ("diagnostics_component_actions_known", ComponentFactory),
        ("diagnostics_fault_actions_known", FaultFactory),
        ("diagnostics_setup_actions_known", SetUpFactory),
        ("diagnostics_check_actions_known", CheckFactory),
        ("diagnostics_remedy_actions_known", RemedyFactory),
        ("diagnostics_cause_actions_known", CauseFactory),
        ("diagnostics_measuredrange_actions_known", MeasuredRangeFactory),
    ],
)
def test_a_row_holds_for_one_or_more_kinds_of_action(rule, factory):
    for impossible in ([], ["square"], ["grand", "square"]):
        with refused(rule):
            factory(actions=impossible)
    with accepted():
        factory(actions=["grand"])


@pytest.mark.parametrize(
    ("rule", "factory"),
    [
        ("diagnostics_setup_minutes_ordered", SetUpFactory),
        ("diagnostics_check_minutes_ordered", CheckFactory),
        ("diagnostics_remedy_minutes_ordered", RemedyFactory),
    ],
)
def test_minutes_run_low_likely_high(rule, factory):
    for low, likely, high in [(Decimal("-0.1"), 1, 2), (2, Decimal("1.9"), 3), (1, 3, 2)]:
        with refused(rule):
            factory(minutes_low=low, minutes_likely=likely, minutes_high=high)
    for low, likely, high in [(0, 0, 0), (1, 2, 4)]:
        with accepted():
            factory(minutes_low=low, minutes_likely=likely, minutes_high=high)


@pytest.mark.parametrize(
    ("rule", "factory", "column"),
    [
        ("diagnostics_remedy_charged_per_known", RemedyFactory, "charged_per"),
        ("diagnostics_check_scope_known", CheckFactory, "scope"),
    ],
)
def test_work_and_checks_are_on_a_note_or_on_the_instrument(rule, factory, column):
    with refused(rule):
        factory(**{column: "octave"})
    with accepted():
        factory(**{column: "instrument"})


@pytest.mark.parametrize(
    ("takes_pin_kit", "wrong", "right"), [(True, 0, 1), (True, 21, 20), (False, 1, 0)]
)
def test_a_remedy_takes_pins_with_a_kit_only(takes_pin_kit, wrong, right):
    with refused("diagnostics_remedy_pins_with_kit"):
        RemedyFactory(takes_pin_kit=takes_pin_kit, pins_per_note=wrong)
    with accepted():
        RemedyFactory(takes_pin_kit=takes_pin_kit, pins_per_note=right)


def test_a_room_is_treated_once_for_the_instrument():
    with refused("diagnostics_remedy_room_once"):
        RemedyFactory(treats_room=True, charged_per="note")
    with accepted():
        RemedyFactory(treats_room=True, charged_per="instrument")


def test_a_remedy_names_a_part_once():
    first = RemedyPartFactory()
    with refused("diagnostics_remedypart_once"):
        RemedyPartFactory(remedy=first.remedy, part=first.part)
    with accepted():
        RemedyPartFactory(remedy=first.remedy, part=PartFactory())
        RemedyPartFactory(remedy=RemedyFactory(), part=first.part)


@pytest.mark.parametrize("quantity", [0, -1])
def test_a_remedy_needs_something_of_a_part(quantity):
    with refused("diagnostics_remedypart_quantity_positive"):
        RemedyPartFactory(quantity=quantity)
    with accepted():
        RemedyPartFactory(quantity=Decimal("0.001"))


@pytest.mark.parametrize(("wrong", "right"), [("20 1/2", "20.5"), ("20.25", "20"), ("", "9")])
def test_a_share_is_of_a_size_in_halves(wrong, right):
    with refused("diagnostics_pinshare_size_in_halves"):
        PinShareFactory(size_label=wrong)
    with accepted():
        PinShareFactory(size_label=right)


@pytest.mark.parametrize(("wrong", "right"), [(0, Decimal("0.0001")), (Decimal("1.0001"), 1)])
def test_a_share_lies_above_nothing_and_within_one(wrong, right):
    with refused("diagnostics_pinshare_within_one"):
        PinShareFactory(share=wrong)
    with accepted():
        PinShareFactory(share=right)


def test_false_positives_are_a_share_between_never_and_always():
    for impossible in (0, 1):
        with refused("diagnostics_check_false_positive_within"):
            CheckFactory(false_positive_share=impossible)
    with accepted():
        CheckFactory(false_positive_share=Decimal("0.0001"))


def test_a_fault_is_marked_by_a_letter_that_can_be_drawn():
    for letter in ("*", " ", "", "\t", "<"):
        with refused("diagnostics_fault_letter_drawable"):
            FaultFactory(letter=letter)
    for letter in ("A", "7", "Ä"):
        with accepted():
            FaultFactory(letter=letter)


def test_a_fault_is_of_a_known_family():
    with refused("diagnostics_fault_family_known"):
        FaultFactory(family="weather")
    for family in FaultFamily.values:
        with accepted():
            FaultFactory(family=family)
