from dataclasses import replace

import pytest

from diagnostics.rules.cause_figures import CauseFigures, CheckFigures, Figures
from diagnostics.rules.causes import posterior
from diagnostics.rules.diagnosis import diagnosis
from diagnostics.rules.keyboard import Compass
from diagnostics.rules.measured_signs import Measured, measured_signs
from diagnostics.rules.ranges import Standing
from diagnostics.rules.room import RoomState
from diagnostics.rules.signs import InstrumentSeen, NoteSeen, Reader, spread_at
from diagnostics.rules.spread import SpreadKind, spread

# Invented figures: a flange that swells in damp air, and a coin.
FLANGE = CauseFigures(
    code="flange",
    name="Flange tight",
    weight=0.5,
    component="hammer-flange",
    cured_by_room=True,
    checks={"swing": 0.9, "ask": 0.6},
    faults={"slow": 0.7},
    leanings={RoomState.DAMP: 0.6, RoomState.DRY: 0.1, SpreadKind.ISOLATED: 0.4},
)
COIN = CauseFigures(
    code="coin",
    name="A coin",
    weight=0.5,
    component="key",
    checks={"look": 0.9},
    faults={"slow": 0.3, "blocked": 0.5},
    leanings={RoomState.DAMP: 0.2, RoomState.DRY: 0.3, SpreadKind.ISOLATED: 0.8},
    complaint_words=("coin", "clink"),
)
FIGURES = Figures(
    causes=(FLANGE, COIN),
    checks={
        "swing": CheckFigures("swing", "Swing", 0.05, measures=("swings", "friction_g")),
        "look": CheckFigures("look", "Look", 0.02),
        "ask": CheckFigures("ask", "Ask", 0.15, restates_room_and_spread=True),
    },
)


def believed(**seen):
    note = NoteSeen(60, faults=("slow",), **seen.pop("note", {}))
    instrument = InstrumentSeen(notes=(note, *seen.pop("others", ())), **seen)
    return posterior(Reader(FIGURES, instrument).evidence(note)).probabilities


def odds(probability):
    return probability / (1 - probability)


@pytest.mark.parametrize(
    ("seen", "speaks_for", "against"),
    [
        ({"room": RoomState.DAMP}, "flange", "coin"),
        ({"room": RoomState.DRY}, "coin", "flange"),
        ({"note": {"spread": SpreadKind.ISOLATED}}, "coin", "flange"),
        ({"note": {"components": ("key",)}}, "coin", "flange"),
        ({"note": {"causes": ("flange",)}}, "flange", "coin"),
        ({"note": {"results": {"swing": True}}}, "flange", "coin"),
        ({"note": {"results": {"swing": False}}}, "coin", "flange"),
        ({"results": {"look": True}}, "coin", "flange"),
        ({"complaint": "Coins fell in!"}, "coin", "flange"),
    ],
)
def test_what_is_seen_speaks_for_one_cause_and_so_against_the_other(seen, speaks_for, against):
    before, after = believed(), believed(**seen)
    assert after[speaks_for] > before[speaks_for]
    assert after[against] < before[against]


@pytest.mark.parametrize(
    "seen",
    [
        {"room": RoomState.UNKNOWN},
        {"note": {"spread": SpreadKind.TOO_FEW}},
        {"note": {"spread": SpreadKind.NONE}},
        {"complaint": "A bicoin, all in all"},
        {"note": {"components": ("pedal",)}},
    ],
)
def test_what_says_nothing_moves_nothing(seen):
    assert believed(**seen) == pytest.approx(believed())


def test_the_room_moves_the_odds_by_its_share_of_the_cases_over_the_usual_share():
    # Half of the cases are flanges, so 40 % of all are in damp air: 0.6 / 0.4 and 0.2 / 0.4.
    note = NoteSeen(60, faults=())
    dry = posterior(Reader(FIGURES, InstrumentSeen((note,))).evidence(note)).probabilities
    damp = posterior(
        Reader(FIGURES, InstrumentSeen((note,), room=RoomState.DAMP)).evidence(note)
    ).probabilities
    assert odds(damp["flange"]) / odds(dry["flange"]) == pytest.approx(1.5)
    assert odds(damp["coin"]) / odds(dry["coin"]) == pytest.approx(0.5)


def test_a_positive_check_of_the_whole_says_less_of_each_note_the_more_are_bad():
    others = tuple(NoteSeen(midi, faults=("slow",)) for midi in range(61, 81))
    alone = believed(results={"look": True})
    among_many = believed(results={"look": True}, others=others)
    assert believed()["coin"] < among_many["coin"] < alone["coin"]


def test_a_negative_check_of_the_whole_says_as_much_of_each_note_however_many_are_bad():
    others = tuple(NoteSeen(midi, faults=("slow",)) for midi in range(61, 81))
    alone = believed(results={"look": False})
    assert believed(results={"look": False}, others=others) == pytest.approx(alone)


def test_a_notes_own_result_goes_before_that_of_the_whole():
    own = {"note": {"results": {"look": False}}}
    assert believed(**own, results={"look": True}) == pytest.approx(believed(**own))


def test_a_check_that_restates_room_and_spread_says_nothing_once_both_are_known():
    known = {"room": RoomState.DAMP, "note": {"spread": SpreadKind.ISOLATED}}
    assert believed(**known, results={"ask": True}) == pytest.approx(believed(**known))
    assert believed(results={"ask": True})["flange"] > believed()["flange"]


def swings(side, component="hammer-flange"):
    return Measured("swings", side, f"Swings are {side} the range", component)


def test_few_swings_speak_for_the_flange_and_enough_of_them_against_it():
    few = believed(note={"measured": (swings(Standing.LOW),)})
    enough = believed(note={"measured": (swings(Standing.WITHIN),)})
    assert few["flange"] > believed()["flange"] > enough["flange"]


def test_what_was_measured_goes_before_the_check_that_measures_it():
    measured = {"measured": (swings(Standing.LOW),)}
    both = believed(note={**measured, "results": {"swing": True}})
    assert both == pytest.approx(believed(note=measured))


def test_a_value_of_a_part_that_no_cause_has_says_nothing():
    found = measured_signs(FIGURES, [swings(Standing.LOW, "jack")])
    assert (found.signs, found.checks) == ((), frozenset())
    other = Measured("pin_diameter_um", Standing.WITHIN, "Pin 1270", "hammer-flange")
    assert measured_signs(FIGURES, [other]).signs == ()


def test_friction_of_the_whole_note_goes_before_the_weights_it_is_found_from():
    check = CheckFigures("weigh", "Weigh", 0.15, measures=("down_weight_g", "up_weight_g"))
    heavy = replace(FLANGE, checks={"weigh": 0.8})
    figures = Figures(causes=(heavy,), checks={"weigh": check})
    values = [
        Measured("down_weight_g", Standing.HIGH, "Down weight 70"),
        Measured("touch_friction_g", Standing.HIGH, "Friction 20"),
        Measured("up_weight_g", Standing.WITHIN, "Up weight 30"),
    ]
    found = measured_signs(figures, values)
    assert [sign.said for sign in found.signs] == ["Friction 20"]
    assert found.checks == {"weigh"}


def test_friction_of_the_key_alone_speaks_of_what_the_key_rubs_on():
    check = CheckFigures("weigh", "Weigh", 0.15, measures=("key_friction_g",))
    bushing = replace(FLANGE, component="front-rail-bushing", checks={"weigh": 0.75})
    damper = replace(COIN, component="damper-lever", checks={"weigh": 0.6})
    figures = Figures(causes=(bushing, damper), checks={"weigh": check})
    found = measured_signs(figures, [Measured("key_friction_g", Standing.HIGH, "Key 8", "key")])
    assert [set(sign.failing) for sign in found.signs] == [{"flange"}]


def test_a_shallow_dip_speaks_of_the_punchings():
    figures = Figures((replace(COIN, component="front-rail-punching"), FLANGE), {})
    found = measured_signs(figures, [Measured("key_dip_mm", Standing.LOW, "Dip 8")])
    assert [set(sign.failing) for sign in found.signs] == [{"coin"}]


@pytest.mark.parametrize(
    ("found_on", "notes"),
    [
        ("any", {21, 22, 60, 108}),
        ("naturals", {21, 60, 108}),
        ("sharps", {22}),
        ("end-keys", {21, 108}),
    ],
)
def test_a_cause_is_only_on_notes_that_can_have_it(found_on, notes):
    cause = replace(COIN, found_on=found_on)
    assert {midi for midi in (21, 22, 60, 108) if cause.can_be_on(midi, Compass())} == notes
    assert cause.can_be_on(None, Compass())


def test_around_a_note_outside_of_what_the_spread_names_a_fault_is_isolated():
    cluster = spread(range(21, 109), [60, 61, 62, 63, 90])
    assert cluster.kind == SpreadKind.CLUSTER
    assert spread_at(cluster, 61) == SpreadKind.CLUSTER
    assert spread_at(cluster, 90) == SpreadKind.ISOLATED
    naturals = spread(range(21, 109), [midi for midi in range(21, 109) if midi % 12 in (0, 4, 7)])
    assert naturals.kind == SpreadKind.NATURALS
    assert spread_at(naturals, 60) == SpreadKind.NATURALS
    assert spread_at(naturals, 61) == SpreadKind.ISOLATED


def test_the_reasons_of_every_named_cause_add_up_to_its_log_odds():
    note = NoteSeen(
        60,
        faults=("slow", "blocked"),
        results={"look": False},
        measured=(swings(Standing.LOW),),
        spread=SpreadKind.ISOLATED,
    )
    (group,) = diagnosis(FIGURES, InstrumentSeen((note,), room=RoomState.DAMP)).notes
    assert len(group.causes) == 2
    for belief in group.causes:
        total = sum(reason.decibans for reason in belief.reasons)
        assert 10 ** (total / 10) == pytest.approx(odds(belief.probability))
