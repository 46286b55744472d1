"""What the description of the API shows of checks is what the program answers."""

import pytest

from diagnostics.api import check_examples
from tests.factories import diagnostics as rows
from tests.factories.shop import ClientFactory, InstrumentFactory, PartFactory, SiteFactory


@pytest.fixture
def examined(db):
    """One slow note: its key is tight, or the centre of its hammer, behind the action."""
    site = SiteFactory(name="Hall", client=ClientFactory(name="Eel Pie Lane School"))
    instrument = InstrumentFactory(
        site=site, maker="Hallow & Finch", model="114", serial_number="", built_year=None
    )
    closed = rows.SetUpFactory(
        code="none", name="As it stands", depth=0, minutes_low=0, minutes_likely=0, minutes_high=0
    )
    action_out = rows.SetUpFactory(code="action-out", name="Action out")
    for code, name, set_up, is_first in (
        ("ask", "Ask the client", closed, True),
        ("side-play", "Side play of the key", closed, False),
        ("lift-hammer", "Lift the hammer", action_out, False),
    ):
        rows.CheckFactory(
            code=code,
            name=name,
            set_up=set_up,
            scope="instrument" if is_first else "note",
            starts_a_visit=is_first,
            instruction="Since when?" if is_first else "Try it by hand.",
            reads_as="Positive: it binds. Negative: it is free.",
        )
    slow = rows.FaultFactory(code="slow-return", name="Slow return")
    _cause("tight-key", "Key bushing tight", "side-play", slow, closed)
    _cause("tight-centre", "Hammer centre tight", "lift-hammer", slow, action_out)
    rows.CautionFactory(code="general", name="General", topics=["general"], text="Take care.")
    examination = rows.ExaminationFactory(instrument=instrument, complaint="One key is slow.")
    rows.FindingFactory(examination=examination, note_midi=60, fault=slow)
    return examination


def _cause(code, name, check, fault, set_up):
    remedy = rows.RemedyFactory(code=f"ease-{code}", name=f"Ease: {name}", set_up=set_up)
    part = PartFactory(code=f"part-{code}", name=f"Part for {code}")
    rows.RemedyPartFactory(remedy=remedy, part=part, quantity=1)
    remedy.tools.add(rows.ToolFactory(code=f"tool-{code}", name=f"Tool for {code}"))
    cause = rows.CauseFactory(code=code, name=name, remedy=remedy, prior_weight="0.3")
    rows.CauseFaultFactory(cause=cause, fault=fault)
    made = rows.models.Check.objects.get(code=check)
    rows.CauseCheckFactory(cause=cause, check_made=made, positive_share="0.90")


def test_the_next_checks_shown_are_those_that_are_answered(technician, examined):
    answer = technician.get(f"examinations/{examined.pk}/next-checks")
    assert answer == check_examples.NEXT_CHECKS | {"examination": examined.pk}


def test_the_work_sheet_shown_is_the_one_that_is_answered(technician, examined):
    assert technician.get(f"examinations/{examined.pk}/work-sheet") == check_examples.WORK_SHEET
