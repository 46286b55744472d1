import pytest

from diagnostics.rules.cause_figures import CauseFigures, CheckFigures, Figures
from diagnostics.rules.diagnosis import diagnosis
from diagnostics.rules.possible_checks import CLOSED, Access
from diagnostics.rules.searches import UNKNOWN, Asker, CheckWork
from diagnostics.rules.signs import InstrumentSeen, NoteSeen

ACTION_OUT = Access("g2", 2, 20)
# Invented shares: two causes that one fault fits alike, a check for each, and one made once.
FIGURES = Figures(
    causes=(
        CauseFigures(
            "key", "Key tight", 0.5, checks={"play": 0.9, "slip": 0.8}, faults={"slow": 0.6}
        ),
        CauseFigures("centre", "Centre tight", 0.5, checks={"swing": 0.9}, faults={"slow": 0.6}),
    ),
    checks={
        "play": CheckFigures("play", "Side play", 0.1),
        "swing": CheckFigures("swing", "Swing", 0.1),
        "slip": CheckFigures("slip", "Key slip", 0.1),
    },
)
WORKS = [
    CheckWork("play", 1, CLOSED, per_note=True),
    CheckWork("swing", 2, ACTION_OUT, per_note=True),
    CheckWork("slip", 3, CLOSED, per_note=False),
]


def searches(*notes, answered=(), sure=0.95, works=WORKS):
    seen = InstrumentSeen(notes=notes)
    asker = Asker(FIGURES, seen, works, frozenset(answered))
    return asker.searches(diagnosis(FIGURES, seen).notes, sure)


def slow(*midis, **seen):
    return [NoteSeen(midi, ("slow",), **seen) for midi in midis]


def asked(trouble):
    return {check.code for check in trouble.search.checks}


def test_notes_alike_are_one_search_for_causes_that_are_equally_likely():
    found = searches(*slow(60, 62))
    assert found.decided == ()
    (trouble,) = found.troubles
    assert trouble.notes == (60, 62)
    assert asked(trouble) == {"play", "swing", "slip"}
    belief = trouble.search.belief
    assert belief["key"] == pytest.approx(belief["centre"])
    assert sum(belief.values()) == pytest.approx(1)
    assert belief[UNKNOWN] < 0.1


def test_a_check_keeps_its_minutes_access_and_shares():
    (trouble,) = searches(*slow(60)).troubles
    checks = {check.code: check for check in trouble.search.checks}
    swing, slip = checks["swing"], checks["slip"]
    assert (swing.minutes, swing.access, swing.per_note) == (2, ACTION_OUT, True)
    assert swing.share("centre") == pytest.approx(0.9)
    assert swing.share("key") == swing.share(UNKNOWN) == pytest.approx(0.1)
    assert not slip.per_note
    assert slip.share("key") == pytest.approx(0.8)


# Another bad note may be what shows it, so that a positive answer tells less of each.
def test_a_check_of_the_whole_instrument_tells_less_of_one_note_the_more_notes_are_bad():
    def factor(*midis):
        (trouble,) = searches(*slow(*midis)).troubles
        slip = next(check for check in trouble.search.checks if check.code == "slip")
        return slip.share("key") / slip.share("centre")

    assert factor(60) == pytest.approx(8)
    assert 1 < factor(60, 62, 64) < factor(60, 62) < 8


def test_what_is_answered_is_asked_of_the_other_notes_alone():
    found = searches(*slow(60, 62), answered={("play", 60)})
    by_note = {trouble.notes: asked(trouble) for trouble in found.troubles}
    assert by_note == {(60,): {"swing", "slip"}, (62,): {"play", "swing", "slip"}}


def test_what_is_answered_of_the_instrument_is_asked_of_none():
    found = searches(*slow(60, 62), answered={("slip", None)})
    assert [asked(trouble) for trouble in found.troubles] == [{"play", "swing"}]


def test_a_cause_that_is_sure_by_the_answers_is_decided():
    shown = {"play": True, "swing": False}
    found = searches(*slow(60, results=shown), *slow(72), sure=0.9)
    (decided,) = found.decided
    assert (decided.notes, decided.cause) == ((60,), "key")
    assert decided.probability >= 0.9
    assert [trouble.notes for trouble in found.troubles] == [(72,)]


def test_the_instrument_as_a_whole_is_a_search_without_notes():
    (trouble,) = searches(*slow(None)).troubles
    assert (trouble.notes, trouble.count) == ((), 1)


def test_a_fault_that_no_cause_explains_is_put_down_to_an_unknown_one():
    found = searches(NoteSeen(60, ("buzz",)))
    assert [(each.notes, each.cause) for each in found.decided] == [((60,), UNKNOWN)]
