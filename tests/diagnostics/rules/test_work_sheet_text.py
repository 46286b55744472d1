from decimal import Decimal

import pytest

from diagnostics.rules.check_words import minutes_text, percent_text
from diagnostics.rules.planned_checks import (
    CheckText,
    LikelyCause,
    PlannedAnswer,
    PlannedCheck,
    PlannedNotes,
)
from diagnostics.rules.work_sheet import (
    FirstCheck,
    SheetCaution,
    SheetNotes,
    SheetPart,
    SheetRemedy,
    SheetTool,
    WorkSheet,
    parts_together,
    sheet_levels,
)
from diagnostics.rules.work_sheet_text import work_sheet_text

KEY = LikelyCause("key", "Key bushing tight", 0.9)
CENTRE = LikelyCause("centre", "Hammer centre tight", 0.72)


def planned(code, *notes, set_up="none", set_up_minutes=0.0):
    told = PlannedNotes(
        notes=notes,
        chance_needed=1.0,
        information_bits=0.5,
        positive=PlannedAnswer(0.5, (KEY,), "key", None, "Sure."),
        negative=PlannedAnswer(0.5, (CENTRE,), None, None, "Go on."),
    )
    return PlannedCheck(
        text=CheckText(code, code.capitalize(), "Do it.", "Reads so."),
        notes=notes,
        per_note=True,
        minutes=2.5,
        set_up=set_up,
        set_up_minutes=set_up_minutes,
        chance_needed=1.0,
        reason="Tells 0.50 bits.",
        tells=(told,),
    )


LEVELS = sheet_levels(
    [planned("side play", 60, 62), planned("swing", 60, set_up="g2", set_up_minutes=20.0)],
    "none",
    {"none": "As it stands", "g2": "Action pulled"},
)
SHEET = WorkSheet(
    instrument="Quillfeather 170",
    client="Eel Pie Lane School",
    place="Hall",
    complaint="Some keys stick.",
    verdict="Likeliest Key bushing tight",
    sure_percent=Decimal("80.0"),
    first=(FirstCheck(CheckText("ask", "Ask", "Since when?", ""), 10.0),),
    levels=LEVELS,
    decided=(SheetNotes((70,), (KEY,)),),
    nothing_left=(SheetNotes((), (CENTRE,)),),
    remedies=(
        SheetRemedy("repin", "Repin", (CENTRE,), (60,), 1, 4.5, "g2", "Action pulled", pins=1),
    ),
    parts=(SheetPart("card", "Card punching", Decimal("1.50"), "piece"),),
    tools=(SheetTool("lamp", "Lamp"),),
    cautions=(SheetCaution("general", "General", "Not the maker's instructions."),),
    expected_minutes=25.04,
    is_exact=True,
    formulas=(),
)

EXPECTED = """\
Work-sheet: Quillfeather 170
Eel Pie Lane School, Hall
Complaint: Some keys stick.
So far: Likeliest Key bushing tight
Checks are expected to take 25 min until every cause is 80 % sure; stop on a
note as soon as its cause is. Below each check, + is what is likeliest if it
shows the fault, - if it does not.

BEFORE ANYTHING IS OPENED
[ ] Ask (10 min)
    Since when?

AS IT STANDS
[ ] 1. Side play: C4, D4 (2.5 min)
    Do it.
    Reads so.
    Tells 0.50 bits.
    + Key bushing tight, 90 %: sure
    - Hammer centre tight, 72 %

ACTION PULLED (20 MIN)
[ ] 2. Swing: C4 (2.5 min)
    Do it.
    Reads so.
    Tells 0.50 bits.
    + Key bushing tight, 90 %: sure
    - Hammer centre tight, 72 %

SURE ENOUGH ALREADY
  A#4: Key bushing tight (90 %)

OPEN, WITH NOTHING LEFT TO ASK
  the whole instrument: Hammer centre tight (72 %)

LIKELY WORK
[ ] Repin: C4 (4.5 min, Action pulled)
    if Hammer centre tight (72 %)
    1 centre pins, sizes at the bench

PARTS TO TAKE
[ ] 1.5 piece: Card punching

TOOLS TO TAKE
[ ] Lamp

CAUTIONS
  General. Not the maker's instructions.
"""


def test_a_sheet_is_written_part_by_part_with_boxes_to_tick():
    assert work_sheet_text(SHEET) == EXPECTED


@pytest.mark.parametrize("width", [40, 60, 120])
def test_no_line_is_longer_than_asked_and_no_word_is_lost(width):
    text = work_sheet_text(SHEET, width)
    assert max(map(len, text.splitlines())) <= width
    assert text.split() == EXPECTED.split()


def test_a_check_that_needs_less_access_stays_where_the_order_has_it():
    checks = [
        planned("swing", 60, set_up="g2", set_up_minutes=20.0),
        planned("side play", 60),
        planned("drop", 60, set_up="g3", set_up_minutes=10.0),
    ]
    names = {"none": "As it stands", "g2": "Action pulled", "g3": "Stack off"}
    levels = sheet_levels(checks, "none", names)
    assert [(level.set_up, level.minutes, len(level.checks)) for level in levels] == [
        ("g2", 20.0, 2),
        ("g3", 10.0, 1),
    ]
    assert sheet_levels([planned("side play", 60)], "g2", names)[0].name == "Action pulled"


def test_parts_of_several_remedies_are_added_up():
    parts = [
        SheetPart("pin", "Pin", Decimal(2), "piece"),
        SheetPart("cloth", "Cloth", Decimal("0.5"), "metre"),
        SheetPart("pin", "Pin", Decimal(3), "piece"),
    ]
    together = parts_together(parts)
    assert [(part.code, part.quantity) for part in together] == [
        ("cloth", Decimal("0.5")),
        ("pin", 5),
    ]


@pytest.mark.parametrize(
    ("share", "text"),
    [(0, "0 %"), (0.001, "under 1 %"), (0.25, "25 %"), (0.999, "over 99 %"), (1, "100 %")],
)
def test_a_chance_is_never_rounded_to_certainty(share, text):
    assert percent_text(share) == text


@pytest.mark.parametrize(("minutes", "text"), [(2, "2 min"), (2.04, "2 min"), (2.25, "2.2 min")])
def test_minutes_have_a_decimal_where_it_says_something(minutes, text):
    assert minutes_text(minutes) == text
