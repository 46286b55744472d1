import pytest

from tests.factories.diagnostics import (
    CauseFactory,
    CautionFactory,
    CheckFactory,
    ComponentFactory,
    FaultFactory,
    MeasuredRangeFactory,
    PinShareFactory,
    RemedyFactory,
    SetUpFactory,
    ToolFactory,
)
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "factory", "column"),
    [
        ("diagnostics_component_code_key", ComponentFactory, "code"),
        ("diagnostics_fault_code_key", FaultFactory, "code"),
        ("diagnostics_fault_letter_key", FaultFactory, "letter"),
        ("diagnostics_setup_code_key", SetUpFactory, "code"),
        ("diagnostics_tool_code_key", ToolFactory, "code"),
        ("diagnostics_caution_code_key", CautionFactory, "code"),
        ("diagnostics_check_code_key", CheckFactory, "code"),
        ("diagnostics_remedy_code_key", RemedyFactory, "code"),
        ("diagnostics_cause_code_key", CauseFactory, "code"),
        ("diagnostics_measuredrange_code_key", MeasuredRangeFactory, "code"),
        ("diagnostics_pinshare_code_key", PinShareFactory, "code"),
    ],
)
def test_there_is_one_row_of_a_code(rule, factory, column):
    factory(**{column: "x"})
    with refused(rule):
        factory(**{column: "x"})
    with accepted():
        factory(**{column: "y"})


def test_a_size_has_one_share():
    PinShareFactory(size_label="20")
    with refused("diagnostics_pinshare_size_label_key"):
        PinShareFactory(size_label="20")
    with accepted():
        PinShareFactory(size_label="20.5")
