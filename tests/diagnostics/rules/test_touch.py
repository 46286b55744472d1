from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnostics.rules.ranges import Range, Standing
from diagnostics.rules.touch import (
    NoteWeights,
    TouchQuantity,
    balance_weight_g,
    friction_g,
    touch,
)

KEYS = range(21, 109)
grams = st.decimals(0, 300, places=1)

# Source: a list of college and university technicians: D 52 and U 28 g give B 40 and F 12 g; one
# gram more of friction gives 53 and 27, and leaves B as it is.
WORKED = [(52, 28, 40, 12), (53, 27, 40, 13)]

DOWN = Range("down", "Down", "down_weight_g", Decimal(45), Decimal(60), judges=True)
FRICTION = Range("friction", "Friction", "touch_friction_g", Decimal(7), Decimal(16), judges=True)
CONCERT = Range("concert", "Concert", "touch_friction_g", Decimal(10), Decimal(15))
# Source: a technicians' mailing list, 2003: above 6 g the friction of the key alone is high.
KEY = Range("key", "Key alone", "key_friction_g", high=Decimal(6), judges=True)
RANGES = [DOWN, FRICTION, CONCERT, KEY]


def weighed(midi, down, up):
    return NoteWeights(midi, Decimal(down), Decimal(up))


def keyboard(**odd):
    """A healthy keyboard whose friction falls by 4 g to the treble, readings to 1 g; made up."""
    notes = []
    for place, midi in enumerate(KEYS):
        balance, friction = 39, 14 - 4 * place / 87
        up, down = odd.get(f"n{midi}", (round(balance - friction), round(balance + friction)))
        notes.append(weighed(midi, down, up))
    return notes


def value(found, midi, quantity):
    note = next(note for note in found.notes if note.midi == midi)
    return next(value for value in note.values if value.quantity == quantity)


@pytest.mark.parametrize(("down", "up", "balance", "friction"), WORKED)
def test_balance_and_friction_are_those_of_the_worked_example(down, up, balance, friction):
    assert balance_weight_g(Decimal(down), Decimal(up)) == balance
    assert friction_g(Decimal(down), Decimal(up)) == friction
    found = touch([weighed(60, down, up)], RANGES)
    assert value(found, 60, TouchQuantity.BALANCE_WEIGHT).value_g == balance
    assert value(found, 60, TouchQuantity.FRICTION).value_g == friction


@given(grams, grams)
def test_balance_and_friction_give_the_two_weights_back(down, up):
    balance, friction = balance_weight_g(down, up), friction_g(down, up)
    assert (balance + friction, balance - friction) == (down, up)


def test_a_healthy_keyboard_has_nothing_to_remark():
    found = touch(keyboard(), RANGES)
    assert len(found.notes) == 88
    assert not any(value.is_remarkable for note in found.notes for value in note.values)


def test_the_curve_tells_how_far_friction_falls_to_the_treble():
    # Source: a technicians' mailing list, 2006: by about 4 g. The keyboard here is made so.
    curves = {curve.quantity: curve for curve in touch(keyboard(), RANGES).curves}
    assert curves[TouchQuantity.FRICTION].fall_g == pytest.approx(4, abs=0.5)
    assert curves[TouchQuantity.BALANCE_WEIGHT].fall_g == pytest.approx(0, abs=0.5)
    assert curves[TouchQuantity.FRICTION].notes == 88
    assert TouchQuantity.KEY_FRICTION not in curves


def test_a_tight_note_stands_out_in_friction_and_not_in_balance():
    found = touch(keyboard(n60=(21, 57)), RANGES)
    tight = value(found, 60, TouchQuantity.FRICTION)
    assert tight.stands_out
    assert (tight.value_g, tight.standing, tight.judged_by) == (18, Standing.HIGH, "friction")
    assert tight.smooth_g == pytest.approx(12.2, abs=0.5)
    assert not value(found, 60, TouchQuantity.BALANCE_WEIGHT).stands_out
    others = [note.midi for note in found.notes if any(each.stands_out for each in note.values)]
    assert others == [60]


def test_a_note_may_stand_out_within_the_range():
    found = touch(keyboard(n100=(24, 54)), RANGES)
    odd = value(found, 100, TouchQuantity.FRICTION)
    assert (odd.value_g, odd.standing, odd.stands_out) == (15, Standing.WITHIN, True)
    assert odd.is_remarkable


def test_with_few_notes_only_the_ranges_speak():
    found = touch([weighed(midi, 57, 21) for midi in range(60, 67)], RANGES)
    assert found.curves == ()
    high = value(found, 60, TouchQuantity.FRICTION)
    assert (high.smooth_g, high.stands_out, high.standing) == (None, False, Standing.HIGH)
    assert touch([weighed(midi, 57, 21) for midi in range(60, 68)], RANGES).curves != ()


@pytest.mark.parametrize(("friction", "standing"), [("6", Standing.WITHIN), ("6.1", Standing.HIGH)])
def test_a_key_by_itself_is_judged_by_its_own_range(friction, standing):
    found = touch([NoteWeights(60, key_friction_g=Decimal(friction))], RANGES)
    assert value(found, 60, TouchQuantity.KEY_FRICTION).standing == standing
    assert len(found.notes[0].values) == 1


def test_a_weight_without_the_other_gives_neither_balance_nor_friction():
    found = touch([NoteWeights(60, down_g=Decimal(70)), NoteWeights(61)], RANGES)
    assert [note.midi for note in found.notes] == [60]
    (only,) = found.notes[0].values
    assert (only.quantity, only.standing) == (TouchQuantity.DOWN_WEIGHT, Standing.HIGH)


def test_each_range_tells_how_many_notes_lie_in_it():
    found = touch([weighed(60, 57, 21), weighed(61, 52, 28), weighed(62, 50, 36)], RANGES)
    counts = {each.range.code: (each.below, each.within, each.above) for each in found.comparisons}
    assert counts == {"down": (0, 3, 0), "friction": (0, 2, 1), "concert": (1, 1, 1)}


def test_a_range_of_a_section_is_for_its_notes():
    bass = Range("bass", "Bass", "down_weight_g", high=Decimal(50), section="bass", judges=True)
    found = touch([weighed(40, 55, 30), weighed(50, 55, 30)], [*RANGES, bass], breaks=(53,))
    assert [value(found, midi, TouchQuantity.DOWN_WEIGHT).judged_by for midi in (40, 50)] == [
        "bass",
        "bass",
    ]
    counts = [each for each in found.comparisons if each.range == bass]
    assert [(each.within, each.above) for each in counts] == [(0, 2)]
    without_breaks = touch([weighed(50, 55, 30)], [*RANGES, bass])
    assert value(without_breaks, 50, TouchQuantity.DOWN_WEIGHT).judged_by == "down"


def test_a_key_that_lifts_more_than_presses_it_down_is_told_apart():
    found = touch([weighed(60, 28, 52), weighed(61, 52, 28)], RANGES)
    assert found.impossible == (60,)
    assert [note.midi for note in found.notes] == [61]


def test_a_note_weighed_twice_is_refused():
    with pytest.raises(ValueError, match="once"):
        touch([weighed(60, 52, 28), weighed(60, 53, 27)], RANGES)


def test_nothing_measured_gives_nothing():
    found = touch([], RANGES)
    assert (found.notes, found.curves, found.comparisons) == ((), (), ())
    assert all(formula.source for formula in found.formulas)
