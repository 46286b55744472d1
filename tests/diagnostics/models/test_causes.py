from decimal import Decimal

import pytest

from tests.factories.diagnostics import (
    CauseCheckFactory,
    CauseFactory,
    CauseFaultFactory,
    CheckFactory,
    FaultFactory,
)
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "factory", "column"),
    [
        ("diagnostics_cause_prior_within", CauseFactory, "prior_weight"),
        ("diagnostics_cause_room_cure_within", CauseFactory, "room_cure_share"),
        ("diagnostics_causecheck_share_within", CauseCheckFactory, "positive_share"),
        ("diagnostics_causefault_share_within", CauseFaultFactory, "share"),
    ],
)
def test_a_share_lies_between_never_and_always(rule, factory, column):
    for impossible in (0, 1, Decimal("-0.1"), Decimal("1.1")):
        with refused(rule):
            factory(**{column: impossible})
    for possible in (Decimal("0.0001"), Decimal("0.9999")):
        with accepted():
            factory(**{column: possible})


@pytest.mark.parametrize(
    ("rule", "wrong", "right"),
    [
        (
            "diagnostics_cause_spread_whole",
            {"spread_isolated": "0.4999"},
            {"spread_isolated": "0.4999", "spread_cluster": "0.1501"},
        ),
        (
            "diagnostics_cause_room_whole",
            {"room_dry": "0.3"},
            {"room_dry": "0.1", "room_damp": ".35"},
        ),
        (
            "diagnostics_cause_age_whole",
            {"age_old": "0.41"},
            {"age_old": "0.41", "age_new": "0.14"},
        ),
    ],
)
def test_the_shares_of_a_family_are_a_whole(rule, wrong, right):
    with refused(rule):
        CauseFactory(**wrong)
    with accepted():
        CauseFactory(**right)


@pytest.mark.parametrize(
    ("rule", "none_left"),
    [
        ("diagnostics_cause_spread_whole", {"spread_sharps": 0, "spread_cluster": "0.20"}),
        ("diagnostics_cause_room_whole", {"room_swung": 0, "room_damp": "0.40"}),
        ("diagnostics_cause_age_whole", {"age_new": 0, "age_old": "0.55"}),
    ],
)
def test_no_share_of_a_family_is_nothing(rule, none_left):
    with refused(rule):
        CauseFactory(**none_left)


def test_a_cause_is_found_on_any_note_or_on_those_that_can_have_it():
    with refused("diagnostics_cause_found_on_known"):
        CauseFactory(found_on="pedals")
    with accepted():
        CauseFactory(found_on="sharps")


def test_a_cause_names_a_check_and_a_fault_once():
    check = CauseCheckFactory()
    with refused("diagnostics_causecheck_once"):
        CauseCheckFactory(cause=check.cause, check_made=check.check_made)
    fault = CauseFaultFactory()
    with refused("diagnostics_causefault_once"):
        CauseFaultFactory(cause=fault.cause, fault=fault.fault)
    with accepted():
        CauseCheckFactory(cause=check.cause, check_made=CheckFactory())
        CauseFaultFactory(cause=fault.cause, fault=FaultFactory())
