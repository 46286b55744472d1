"""What pictures of keyboards show, read back from them. All findings are invented."""

from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnostics.rules.comparison import Change, compared
from diagnostics.rules.keyboard import is_natural
from diagnostics.rules.looks import SEVERITIES, Found, Look
from diagnostics.rules.note_names import parse_notes
from diagnostics.rules.pictures.comparison import comparison_svg
from diagnostics.rules.pictures.examination import examination_svg
from diagnostics.rules.pictures.history import history_svg
from tests.diagnostics.rules.drawn import (
    FAULTS,
    FIRST,
    PIANO,
    SECOND,
    SVG,
    bars,
    compasses,
    first_rectangles,
    looks,
    of_class,
    place,
    read,
    texts,
)


@settings(max_examples=40)
@given(compass=compasses, data=st.data())
def test_every_finding_is_drawn_once_on_its_own_key(compass, data):
    look = data.draw(looks(compass))
    root = read(examination_svg(look, FAULTS, title="Upright"))
    assert Counter(bars(root)) == Counter(
        (place(each.note_midi), f"fault-{ord(FAULTS[each.fault][0])}", each.severity)
        for each in look.found
    )
    keys = {key.get("data-note"): corners for key, corners in first_rectangles(root, "key")}
    assert list(map(int, sorted(keys, key=int))) == list(compass.notes)
    for bar, (left, top, right, bottom) in first_rectangles(root, "bar"):
        if bar.get("data-note") in keys:
            key = keys[bar.get("data-note")]
            assert (left + right) / 2 == pytest.approx((key[0] + key[2]) / 2, abs=0.02)
            is_below = is_natural(int(bar.get("data-note")))
            assert top >= key[3] if is_below else bottom <= key[1]


@settings(max_examples=40)
@given(compass=compasses, data=st.data())
def test_no_bar_lies_on_another_and_all_lie_in_the_picture(compass, data):
    root = read(examination_svg(data.draw(looks(compass)), FAULTS, title="Upright"))
    _, _, width, height = map(float, root.get("viewBox").split())
    placed = [corners for _, corners in first_rectangles(root, "bar")]
    for index, (left, top, right, bottom) in enumerate(placed):
        assert left >= 0
        assert top >= 0
        assert right <= width
        assert bottom <= height
        for other in placed[index + 1 :]:
            apart = right <= other[0] or other[2] <= left or bottom <= other[1] or other[3] <= top
            assert apart


def test_the_legend_counts_the_notes_of_each_fault():
    found = [Found(midi, "slow") for midi in parse_notes("naturals A0-C2", PIANO)]
    found += [Found(midi, "noise") for midi in parse_notes("sharps C5-C6", PIANO)]
    found += [Found(None, "pedal"), Found(None, "noise"), Found(21, "slow", component="flange")]
    root = read(examination_svg(Look(PIANO, FIRST, tuple(found)), FAULTS, title="Upright"))
    written = texts(root)
    for name, counted, notes in [
        ("Slow return", "10 notes (10 naturals, 0 sharps)", "A0, B0, C1, D1, E1, F1, G1, A1, B1"),
        (
            "Noise",
            "5 notes (0 naturals, 5 sharps)",
            "C#5, D#5, F#5, G#5, A#5, the whole instrument",
        ),
        ("Pedal sticks", "the whole instrument", ""),
    ]:
        start = written.index(name)
        assert written[start + 1] == counted
        assert (written[start + 2] or "").startswith(notes)
    assert "No sound" not in written
    told = "all 88 notes looked at, 16 findings on 15 notes (10 naturals, 5 sharps), 2 on the whole"
    assert any(told in (text or "") for text in written)


def test_a_worse_fault_has_a_longer_bar():
    found = [Found(60 + 2 * i, "slow", severity) for i, severity in enumerate(SEVERITIES)]
    root = read(examination_svg(Look(PIANO, FIRST, tuple(found)), FAULTS, title="Upright"))
    lengths = {
        bar.get("data-severity"): bottom - top
        for bar, (_, top, _, bottom) in first_rectangles(root, "bar")
        if bar.get("data-sign") != "severity"
    }
    assert lengths["slight"] < lengths["moderate"] < lengths["severe"]


def test_each_c_is_named_on_its_own_key_with_its_number():
    root = read(examination_svg(Look(PIANO, FIRST), FAULTS, title="Upright"))
    # Key numbers of the Cs of 88 keys: common practice.
    numbers = {1: 4, 2: 16, 3: 28, 4: 40, 5: 52, 6: 64, 7: 76, 8: 88}
    for octave, number in numbers.items():
        (key,) = [
            each for each in of_class(root, "key") if each.get("data-note") == str(12 + 12 * octave)
        ]
        assert texts(key) == [f"C{octave}", str(number)]


def test_a_key_tells_its_name_number_and_pitch():
    root = read(examination_svg(Look(PIANO, FIRST), FAULTS, title="Upright"))
    told = {key.get("data-note"): key.findtext(f"{SVG}title") for key in of_class(root, "key")}
    # ISO 16: A4 = 440 Hz; C4 = 261.626 Hz in published tables.
    assert told["69"] == "A4, key 49, 440.0 Hz"
    assert told["60"] == "C4, key 40, 261.6 Hz"


def test_a_key_that_was_not_looked_at_is_hatched():
    look = Look(PIANO, FIRST, (), frozenset(range(30, 109)))
    root = read(examination_svg(look, FAULTS, title="Upright"))
    hatched = {
        int(key.get("data-note"))
        for key in of_class(root, "key")
        if "unseen" in key.find(f"{SVG}rect").get("fill")
    }
    assert hatched == set(range(21, 30))
    assert "Not looked at" in texts(root)
    assert "Not looked at" not in texts(read(examination_svg(Look(PIANO, FIRST), FAULTS, title="")))


@settings(max_examples=25)
@given(data=st.data())
def test_before_and_after_draw_each_finding_once_and_each_change_once(data):
    compass = data.draw(compasses)
    before, after = data.draw(looks(compass)), data.draw(looks(compass, SECOND))
    comparison = compared(before, after)
    root = read(comparison_svg(comparison, FAULTS, title="Upright"))
    drawn = bars(root)
    changes = [bar for bar in drawn if not bar[1].startswith("fault-")]
    assert len(drawn) - len(changes) == len(before.found)
    assert Counter(note for note, _, _ in changes) == Counter(
        place(item.note_midi) for item in comparison.items
    )
    assert len(of_class(root, "key")) == 2 * len(compass.notes)


def test_before_and_after_say_what_became_of_each_fault():
    before = Look(PIANO, FIRST, (Found(60, "slow"), Found(62, "slow"), Found(64, "noise")))
    after = Look(
        PIANO, SECOND, (Found(62, "slow", "severe"), Found(64, "noise"), Found(66, "dead"))
    )
    root = read(comparison_svg(compared(before, after), FAULTS, title="Upright"))
    assert [bar for bar in bars(root) if not bar[1].startswith("fault-")] == [
        ("60", "cured", "moderate"),
        ("62", "worse", "severe"),
        ("64", "unchanged", "moderate"),
        ("66", "new", "moderate"),
    ]
    told = {bar.findtext(f"{SVG}title") for bar in of_class(root, "bar")}
    assert "D4: Slow return, moderate to severe, worse" in told
    assert "C4: Slow return, moderate, cured" in told


def test_every_change_has_a_pattern_or_a_symbol_of_its_own():
    before = Look(PIANO, FIRST, tuple(Found(midi, "slow") for midi in (60, 62, 64, 65, 67)))
    severities = {62: "slight", 64: "moderate", 65: "severe", 69: "slight", 71: "slight"}
    after = Look(
        PIANO,
        SECOND,
        tuple(Found(midi, "slow", severity) for midi, severity in severities.items()),
        frozenset({60, 69}),
    )
    before = Look(PIANO, FIRST, before.found, frozenset({69}))
    root = read(comparison_svg(compared(before, after), FAULTS, title="Upright"))
    symbols = {}
    for bar in of_class(root, "bar"):
        (*_, symbol) = [None, *(path.get("d") for path in bar.iter(f"{SVG}path"))]
        symbols.setdefault(bar.get("data-sign"), set()).add(symbol)
    changes = {sign: found for sign, found in symbols.items() if found != {None}}
    assert len(changes) == len(Change)
    assert len({symbol for found in changes.values() for symbol in found}) == len(Change)


@settings(max_examples=25)
@given(data=st.data())
def test_a_history_has_a_cell_for_each_faulty_note_of_each_examination(data):
    compass = data.draw(compasses)
    seen = data.draw(st.lists(looks(compass), max_size=4))
    root = read(history_svg(compass, seen, FAULTS, title="Upright"))
    assert Counter(cell.get("data-note") for cell in of_class(root, "faulty")) == Counter(
        str(midi) for look in seen for midi in look.marked
    )
    keys = {key.get("data-note"): corners for key, corners in first_rectangles(root, "key")}
    for cell, (left, _, right, _) in first_rectangles(root, "faulty"):
        key = keys[cell.get("data-note")]
        assert key[0] - 0.02 <= left < right <= key[2] + 0.02


def test_a_history_counts_how_often_each_note_was_faulty():
    first = Look(PIANO, FIRST, (Found(60, "slow"), Found(60, "noise"), Found(61, "noise")))
    second = Look(PIANO, SECOND, (Found(60, "slow"), Found(None, "pedal")), frozenset({60, 62}))
    root = read(history_svg(PIANO, [first, second], FAULTS, title="Upright"))
    told = {key.get("data-note"): key.findtext(f"{SVG}title") for key in of_class(root, "key")}
    assert told["60"].endswith("faulty in 2 of 2 examinations")
    assert told["61"].endswith("faulty in 1 of 1 examinations")
    assert told["62"].endswith("faulty in 0 of 2 examinations")
    written = texts(root)
    assert written[written.index("Faulty in 2 examinations") + 2] == "C4"
    assert written[written.index("Faulty in 1 examination") + 2] == "C#4, the whole instrument"
