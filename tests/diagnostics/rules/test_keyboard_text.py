import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnostics.rules.keyboard import COMPASSES, Compass, is_natural
from diagnostics.rules.keyboard_text import keyboard_text
from diagnostics.rules.note_names import parse_notes

# Invented faults.
FAULTS = {
    "slow": ("S", "slow to return"),
    "rubs": ("R", "rubs its neighbour"),
    "clicks": ("C", "clicks"),
}
PIANO = Compass()
OCTAVE = Compass(60, 72)
ANSI = re.compile(r"\x1b\[[0-9;]*m")

ends = st.lists(st.integers(0, 127), min_size=2, max_size=2, unique=True).map(sorted)
compasses = st.sampled_from(list(COMPASSES.values())) | ends.map(lambda pair: Compass(*pair))


def marks_read_off(drawing: str) -> list[tuple[str, str]]:
    """Read the drawing as a person does: each key from left to right with its kind and mark.

    A part's rows are five: back edge, sharps, sharps' fronts, naturals, front edge. A sharp stands
    in an even column, a natural in an odd one.
    """
    keys = []
    lines = drawing.splitlines()
    for index in (i for i, line in enumerate(lines) if line.startswith("┌")):
        _, behind, fronts, naturals, _ = lines[index : index + 5]
        for column in range(len(behind)):
            if column % 2:
                keys.append(("natural", naturals[column].strip()))
            elif behind[column] == "█":
                keys.append(("sharp", fronts[column].replace("█", "")))
    return keys


def test_an_octave_looks_like_one():
    findings = {60: ["slow"], 61: ["rubs"], 64: ["clicks", "slow"], 72: ["clicks"]}
    assert keyboard_text(OCTAVE, findings, FAULTS, title="Upright").splitlines() == [
        "Upright, 13 keys C4 to C5",
        "Marked: 4 notes (3 naturals, 1 sharp)",
        "",
        " C4            C5",
        "┌─────┬───────┬─┐",
        "│ █ █ │ █ █ █ │ │",
        "│ R █ │ █ █ █ │ │",
        "│S│ │*│ │ │ │ │C│",
        "└─┴─┴─┴─┴─┴─┴─┴─┘",
        "",
        "S  slow to return      2 notes (2 naturals, 0 sharps)",
        "R  rubs its neighbour  1 note (0 naturals, 1 sharp)",
        "C  clicks              2 notes (2 naturals, 0 sharps)",
        "*  several of these    1 note (1 natural, 0 sharps)",
        "   S+C: E4",
    ]


def test_a_keyboard_without_findings_has_no_legend():
    drawing = keyboard_text(OCTAVE, {60: []}, FAULTS)
    assert "Marked: 0 notes (0 naturals, 0 sharps)" in drawing
    assert drawing.splitlines()[-1].startswith("└")


@pytest.mark.parametrize(
    ("width", "rows_of_names"),
    [
        (120, [" A0  C1 C2 C3 C4 C5 C6 C7 C8"]),
        (105, [" A0  C1 C2 C3 C4 C5 C6 C7 C8"]),  # 52 naturals of two columns, and one to close
        (104, [" A0  C1 C2 C3 C4 E4", " F4 C5 C6 C7 C8"]),
        (100, [" A0  C1 C2 C3 C4 E4", " F4 C5 C6 C7 C8"]),  # 44 keys each
    ],
)
def test_eighty_eight_keys_take_one_part_or_two(width, rows_of_names):
    lines = keyboard_text(PIANO, {}, FAULTS, width=width).splitlines()
    named = [lines[i - 1].split() for i, line in enumerate(lines) if line.startswith("┌")]
    assert named == [row.split() for row in rows_of_names]


def test_every_c_is_named_over_its_own_key():
    lines = keyboard_text(PIANO, {}, FAULTS, width=120).splitlines()
    row = next(line for line in lines if "C4" in line)
    # C1 is the third natural of 88 keys (A0, B0, C1), and an octave has seven.
    assert [row.index(f"C{octave}") for octave in range(1, 9)] == [
        2 * (2 + 7 * octave) + 1 for octave in range(8)
    ]


@given(compass=compasses, width=st.integers(40, 140), data=st.data())
def test_every_key_is_drawn_once_in_its_place_with_its_mark(compass, width, data):
    codes = st.lists(st.sampled_from(list(FAULTS)), max_size=3)
    findings = data.draw(st.dictionaries(st.sampled_from(compass.notes), codes))
    drawing = keyboard_text(compass, findings, FAULTS, width=width)
    expected = []
    for midi in compass.notes:
        letters = {FAULTS[code][0] for code in findings.get(midi, [])}
        mark = "*" if len(letters) > 1 else "".join(letters)
        expected.append(("natural" if is_natural(midi) else "sharp", mark))
    assert marks_read_off(drawing) == expected
    assert all(len(line) <= width for line in drawing.splitlines())


@given(compass=compasses, width=st.integers(40, 140), data=st.data())
def test_colour_adds_nothing_but_colour(compass, width, data):
    codes = st.lists(st.sampled_from(list(FAULTS)), max_size=3)
    findings = data.draw(st.dictionaries(st.sampled_from(compass.notes), codes))
    plain = keyboard_text(compass, findings, FAULTS, width=width)
    coloured = keyboard_text(compass, findings, FAULTS, width=width, colour=True)
    assert ANSI.sub("", coloured) == plain
    assert "\x1b" not in plain
    assert ("\x1b" in coloured) is any(findings.values())


def test_a_fault_is_counted_on_every_note_that_has_it():
    findings = {midi: ["slow"] for midi in parse_notes("naturals A0-C2", PIANO)}
    findings |= {midi: ["rubs", "slow", "rubs"] for midi in parse_notes("sharps C5-C6", PIANO)}
    drawing = keyboard_text(PIANO, findings, FAULTS)
    assert "Marked: 15 notes (10 naturals, 5 sharps)" in drawing
    assert "S  slow to return      15 notes (10 naturals, 5 sharps)" in drawing
    assert "R  rubs its neighbour  5 notes (0 naturals, 5 sharps)" in drawing
    assert "*  several of these    5 notes (0 naturals, 5 sharps)" in drawing
    assert "   S+R: C#5, D#5, F#5, G#5, A#5" in drawing
    assert "clicks" not in drawing


def test_the_order_in_which_faults_were_found_makes_no_other_combination():
    findings = {60: ["slow", "rubs"], 62: ["rubs", "slow"]}
    assert keyboard_text(OCTAVE, findings, FAULTS).endswith("S+R: C4, D4")


def test_a_name_cannot_steer_the_terminal():
    drawing = keyboard_text(
        OCTAVE, {60: ["slow"]}, {"slow": ("S", "slow\x1b[2J")}, title="Upright\x1b]0;x\x07\n"
    )
    assert "\x1b" not in drawing
    assert "\x07" not in drawing
    assert drawing.startswith("Upright\N{REPLACEMENT CHARACTER}]0;x")


@pytest.mark.parametrize(
    ("findings", "faults", "width", "told"),
    [
        ({20: ["slow"]}, FAULTS, 100, "MIDI note 20 is not on this keyboard"),
        ({60: ["lost"]}, FAULTS, 100, r"\['lost'\] of MIDI note 60"),
        ({60: ["a"]}, {"a": ("AB", "a")}, 100, "not 'AB'"),
        ({60: ["a"]}, {"a": ("*", "a")}, 100, r"not '\*'"),
        ({60: ["a"]}, {"a": ("\u2028", "a")}, 100, "not "),
        ({60: ["a", "b"]}, {"a": ("A", "a"), "b": ("A", "b")}, 100, "a letter of its own"),
        ({}, FAULTS, 39, "at least 40 columns, not 39"),
    ],
)
def test_what_cannot_be_drawn_truthfully_is_refused(findings, faults, width, told):
    with pytest.raises(ValueError, match=told):
        keyboard_text(PIANO, findings, faults, width=width)


def test_letters_of_faults_not_found_may_collide():
    faults = {"a": ("A", "one"), "b": ("A", "two")}
    assert "A  two" in keyboard_text(OCTAVE, {60: ["b"]}, faults)
