"""All findings are invented."""

from datetime import date

from diagnostics.rules.comparison import compared
from diagnostics.rules.keyboard import Compass
from diagnostics.rules.keyboard_reports import comparison_text, examination_text, history_text
from diagnostics.rules.looks import Found, Look

OCTAVE = Compass(60, 72)
FAULTS = {"slow": ("S", "Slow return"), "noise": ("K", "Noise"), "pedal": ("P", "Pedal sticks")}
FIRST = Look(
    OCTAVE,
    date(2026, 3, 2),
    (
        Found(60, "slow", "severe"),
        Found(61, "noise"),
        Found(64, "slow", "slight", "flange", "hammer flange"),
        Found(None, "pedal"),
    ),
)
SECOND = Look(
    OCTAVE,
    date(2026, 3, 16),
    (Found(64, "slow", "moderate", "flange", "hammer flange"), Found(67, "noise")),
    frozenset(range(60, 71)),
)

FIRST_TOLD = (
    "2026-03-02: all 13 notes looked at, 3 findings on 3 notes (2 naturals, 1 sharp), "
    "1 on the whole\ninstrument"
).splitlines()


def test_one_examination_is_drawn_with_severities_and_what_has_no_note():
    assert examination_text(FIRST, FAULTS, title="Upright").splitlines() == [
        "Upright, 13 keys C4 to C5",
        "Marked: 3 notes (2 naturals, 1 sharp)",
        "",
        " C4            C5",
        "┌─────┬───────┬─┐",
        "│ █ █ │ █ █ █ │ │",
        "│ K █ │ █ █ █ │ │",
        "│S│ │S│ │ │ │ │ │",
        "└─┴─┴─┴─┴─┴─┴─┴─┘",
        "",
        "S  Slow return       2 notes (2 naturals, 0 sharps)",
        "K  Noise             1 note (0 naturals, 1 sharp)",
        "",
        "Severe: C4",
        "Slight: E4",
        "The whole instrument: Pedal sticks, moderate",
        *FIRST_TOLD,
    ]


def test_before_and_after_are_drawn_as_what_became_of_each_note():
    drawn = comparison_text(compared(FIRST, SECOND), FAULTS, title="Upright")
    assert drawn.splitlines()[6:] == [
        "│ C █ │ █ █ █ │ │",
        "│C│ │W│ │N│ │ │ │",
        "└─┴─┴─┴─┴─┴─┴─┴─┘",
        "",
        "C  Cured             2 notes (1 natural, 1 sharp)",
        "W  Worse             1 note (1 natural, 0 sharps)",
        "N  New               1 note (1 natural, 0 sharps)",
        "",
        "E4: Slow return (hammer flange), slight to moderate, worse",
        "G4: Noise, moderate, new",
        "Pedal sticks, moderate, not looked at again",
        "2026-03-02 to 2026-03-16: 11 notes compared",
        (
            "Of 3 faults looked at again: 2 cured, 1 worse. 1 fault is new. 1 fault is on notes not"
            " looked at"
        ),
        "again.",
    ]


def test_a_history_is_drawn_as_how_often_each_note_was_faulty():
    drawn = history_text(OCTAVE, [FIRST, SECOND], title="Upright")
    assert drawn.splitlines()[6:] == [
        "│ 1 █ │ █ █ █ │ │",
        "│1│ │2│ │1│ │ │ │",
        "└─┴─┴─┴─┴─┴─┴─┴─┘",
        "",
        "2  Faulty in 2 examinations  1 note (1 natural, 0 sharps)",
        "1  Faulty in 1 examination   3 notes (2 naturals, 1 sharp)",
        "",
        "Faulty in 2 examinations: E4",
        "Faulty in 1 examination: C4, C#4, G4",
        *FIRST_TOLD,
        "2026-03-16: 11 of 13 notes looked at, 2 findings on 2 notes (2 naturals, 0 sharps)",
        "2 examinations, 2026-03-02 to 2026-03-16",
    ]


def test_ten_times_and_more_look_like_nine():
    drawn = history_text(OCTAVE, [FIRST] * 12, title="Upright")
    assert "9  Faulty in 9 examinations or more  3 notes (2 naturals, 1 sharp)" in drawn


def test_an_instrument_that_nobody_looked_at_has_a_keyboard_all_the_same():
    drawn = history_text(OCTAVE, [], title="Upright")
    assert "Marked: 0 notes" in drawn
    assert drawn.endswith("No examination yet\n")


def test_what_was_not_looked_at_is_said():
    assert "Not looked at: B4, C5" in examination_text(SECOND, FAULTS, title="Upright")
    assert "Not looked at" not in examination_text(FIRST, FAULTS, title="Upright")


def test_names_cannot_steer_the_terminal():
    look = Look(OCTAVE, date(2026, 3, 2), (Found(None, "x", "slight", "c", "flange\x1b[2J"),))
    drawn = examination_text(look, {"x": ("X", "x\x1b[1m")}, title="\x1b]0;x\x07")
    assert "\x1b" not in drawn
    assert "\x07" not in drawn
