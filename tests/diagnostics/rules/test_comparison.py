"""All findings are invented."""

from datetime import date

import pytest

from diagnostics.rules.comparison import Change, Cures, compared, cures, sentence
from diagnostics.rules.keyboard import Compass
from diagnostics.rules.looks import Found, Look

PIANO = Compass()
FIRST, SECOND = date(2026, 3, 2), date(2026, 3, 16)


def before(*found, notes=()):
    return Look(PIANO, FIRST, found, frozenset(notes))


def after(*found, notes=()):
    return Look(PIANO, SECOND, found, frozenset(notes))


def slow(note, severity="moderate", component="", cause=""):
    return Found(note, "slow", severity, component, component, cause)


def changes(comparison):
    return [(item.note_midi, item.change.value) for item in comparison.items]


@pytest.mark.parametrize(
    ("then", "now", "change"),
    [
        ("moderate", None, "cured"),
        ("severe", "slight", "better"),
        ("moderate", "moderate", "unchanged"),
        ("slight", "moderate", "worse"),
        (None, "slight", "new"),
    ],
)
def test_a_fault_on_a_note_looked_at_twice_changes_with_its_severity(then, now, change):
    old = before(*([slow(60, then)] if then else []))
    new = after(*([slow(60, now)] if now else []))
    (item,) = compared(old, new).items
    assert (item.change, item.severity_before, item.severity_after) == (change, then, now)


def test_a_note_that_was_looked_at_once_tells_nothing():
    old = before(slow(60), slow(62), notes=[60, 62])
    new = after(slow(64), notes=[60, 64])
    comparison = compared(old, new)
    assert changes(comparison) == [
        (60, "cured"),
        (62, "not_looked_at_again"),
        (64, "not_looked_at_before"),
    ]
    assert comparison.notes_compared == {60}


def test_a_note_with_a_finding_was_looked_at_whatever_the_list_says():
    comparison = compared(before(slow(60), notes=[62]), after(slow(60), notes=[64]))
    assert changes(comparison) == [(60, "unchanged")]
    assert comparison.notes_compared == {60}


@pytest.mark.parametrize(
    ("notes", "change"), [((), "cured"), (PIANO.notes, "cured"), ([60], "not_looked_at_again")]
)
def test_the_whole_instrument_was_looked_at_when_every_note_was(notes, change):
    comparison = compared(before(slow(None)), after(notes=notes))
    assert changes(comparison) == [(None, change)]


@pytest.mark.parametrize(
    ("then", "now", "expected"),
    [
        (["flange"], ["flange"], [("flange", "unchanged")]),
        ([""], ["flange"], [("flange", "unchanged")]),
        (["flange"], [""], [("flange", "unchanged")]),
        (["flange"], ["bushing"], [("flange", "cured"), ("bushing", "new")]),
        (["flange", ""], ["flange"], [("flange", "unchanged"), ("", "cured")]),
        (
            ["flange", "bushing"],
            ["", "bushing"],
            [("bushing", "unchanged"), ("flange", "unchanged")],
        ),
        (["flange"], ["", "flange"], [("flange", "unchanged"), ("", "new")]),
    ],
)
def test_a_component_that_is_open_fits_any(then, now, expected):
    comparison = compared(
        before(*(slow(60, component=each) for each in then)),
        after(*(slow(60, component=each) for each in now)),
    )
    assert [(item.component, item.change.value) for item in comparison.items] == expected


def test_another_fault_on_the_note_is_another_matter():
    comparison = compared(before(slow(60)), after(Found(60, "clicks")))
    assert [(item.fault, item.change.value) for item in comparison.items] == [
        ("slow", "cured"),
        ("clicks", "new"),
    ]


def test_of_several_causes_the_worst_counts_and_all_are_kept():
    old = before(slow(60, "slight", cause="damp"), slow(60, "severe", cause="pin"))
    (item,) = compared(old, after(slow(60, "moderate", cause="pin"))).items
    assert (item.severity_before, item.change) == ("severe", "better")
    assert item.causes == {"damp", "pin"}


@pytest.mark.parametrize(("worked_on", "is_marked"), [((), False), ([60], True), ([None], True)])
def test_what_was_worked_on_is_marked(worked_on, is_marked):
    (item,) = compared(before(slow(60)), after(), worked_on).items
    assert item.worked_on is is_marked


def test_the_counts_are_of_faults_and_the_sentence_tells_them():
    old = before(slow(60), slow(61), slow(62), slow(64, "slight"), slow(65), slow(70))
    new = after(slow(62), slow(64, "severe"), slow(80), notes=range(21, 70))
    comparison = compared(old, new)
    assert {change: count for change, count in comparison.counts.items() if count} == {
        Change.CURED: 3,
        Change.UNCHANGED: 1,
        Change.WORSE: 1,
        Change.NEW: 1,
        Change.NOT_LOOKED_AT_AGAIN: 1,
    }
    assert sentence(comparison) == (
        "Of 5 faults looked at again: 3 cured, 1 unchanged, 1 worse. 1 fault is new. 1 fault is on"
        " notes not looked at again."
    )


def test_without_faults_that_were_looked_at_again_the_sentence_says_so():
    told = "No fault that was there before was looked at again."
    assert sentence(compared(before(), after())) == told
    assert sentence(compared(before(), after(slow(60), slow(62)))) == f"{told} 2 faults are new."


def test_cures_are_counted_where_the_note_was_looked_at_again_and_not_worked_on():
    old = before(*(slow(note) for note in (60, 62, 64, 65, 67)))
    new = after(slow(62, "slight"), slow(64), slow(71), notes=[60, 62, 64, 65, 71])
    # 60 is cured, 62 better, 64 unchanged; 65 was repaired, 67 not looked at again, 71 is new.
    assert cures(compared(old, new, worked_on=[65]).items) == Cures(cured=1, followed=3)
    assert cures(compared(old, new, worked_on=[None]).items) == Cures()


def test_cures_add_up():
    assert Cures(1, 3) + Cures(2, 2) == Cures(3, 5)
