from fractions import Fraction
from math import comb

import pytest

from diagnostics.rules.keyboard import COMPASSES
from diagnostics.rules.sections import Section, members, register_of, sections_compared

KEYS = COMPASSES[88].notes
E3, F3, C5, E5 = 52, 53, 72, 76


@pytest.mark.parametrize(
    ("midi", "breaks", "register"),
    [
        # Without breaks, the tenor from C3 and the treble from C5 (estimates).
        (47, (), Section.BASS),
        (48, (), Section.TENOR),
        (71, (), Section.TENOR),
        (72, (), Section.TREBLE),
        # The instrument's own breaks.
        (E3, (F3,), Section.BASS),
        (F3, (F3,), Section.TENOR),
        (C5, (F3,), Section.TREBLE),
        (C5, (F3, E5), Section.TENOR),
        (E5, (F3, E5), Section.TREBLE),
        (E5, (F3, E5, 90), Section.TENOR),
        (47, (E5,), Section.BASS),
    ],
)
def test_a_note_is_in_the_register_that_the_breaks_give(midi, breaks, register):
    assert register_of(midi, breaks) == register


def test_the_rows_are_of_52_naturals_and_36_sharps():
    # Source: the usual 88 keys of a piano, 52 in front and 36 behind.
    assert len(members(Section.NATURALS, KEYS, ())) == 52
    assert len(members(Section.SHARPS, KEYS, ())) == 36


def test_two_notes_on_either_side_of_a_break_are_beside_it():
    assert members(Section.NEAR_BREAK, KEYS, (F3,)) == {51, 52, 53, 54}
    assert members(Section.NEAR_BREAK, KEYS, ()) == frozenset()


def test_each_section_is_compared_with_the_rest():
    naturals = sorted(members(Section.NATURALS, KEYS, ()))[:9]
    found = {part.section: part for part in sections_compared(KEYS, naturals, (F3,))}
    assert set(found) == set(Section)
    row = found[Section.NATURALS]
    assert (row.examined, row.affected) == (52, 9)
    # Nine of nine in the front row: C(52, 9) / C(88, 9).
    assert row.probability == Fraction(comb(52, 9), comb(88, 9))
    assert row.corrected_probability >= row.probability
    assert row.stands_out
    assert not found[Section.SHARPS].stands_out


def test_a_section_that_has_no_rest_or_no_notes_is_left_out():
    found = sections_compared([60, 62, 64, 65], [60], ())
    assert found == ()


def test_nothing_stands_out_where_nothing_is_affected_or_all_is():
    for affected in ([], list(KEYS)):
        found = sections_compared(KEYS, affected, (F3,))
        assert all(part.corrected_probability == 1 for part in found)
