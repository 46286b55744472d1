import random
from fractions import Fraction
from time import process_time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnostics.rules.keyboard import COMPASSES, is_natural, is_sharp
from diagnostics.rules.sections import Section
from diagnostics.rules.spread import SpreadKind, spread

KEYS = COMPASSES[88].notes
NATURALS = COMPASSES[88].naturals
SHARPS = COMPASSES[88].sharps
SCATTERED_30 = sorted(random.Random(88).sample(KEYS, 30))
BREAKS = (53, 76)

notes = st.sets(st.integers(0, 127), min_size=8)


@pytest.mark.parametrize(
    ("affected", "kind", "sentence"),
    [
        # The rules of thumb here are common practice; the words are this program's.
        ([], SpreadKind.NONE, "None of 88 notes"),
        ([50], SpreadKind.ISOLATED, "1 of 88 notes, isolated: D3"),
        ([30, 50, 90], SpreadKind.ISOLATED, "3 of 88 notes, isolated: F#1, D3, F#6"),
        # Four neighbouring naturals stuck: points at the rail or debris.
        (
            [60, 62, 64, 65],
            SpreadKind.CLUSTER,
            "4 of 88 notes, a cluster at C4, D4, E4, F4, naturals only",
        ),
        # A fifth and sixth bad note far away do not undo the cluster.
        (
            [30, 60, 62, 64, 65, 100],
            SpreadKind.CLUSTER,
            "6 of 88 notes, a cluster at C4, D4, E4, F4, naturals only",
        ),
        ([60, 61], SpreadKind.CLUSTER, "2 of 88 notes, a cluster at C4, C#4"),
        (NATURALS, SpreadKind.NATURALS, "52 of 88 notes, naturals only"),
        (SHARPS[::2], SpreadKind.SHARPS, "18 of 88 notes, sharps only"),
        (
            [*NATURALS[::2], SHARPS[20]],
            SpreadKind.NATURALS,
            "27 of 88 notes, mostly the naturals: 26 of 52 there, 1 of 36 elsewhere",
        ),
        (
            range(21, 53),
            SpreadKind.SECTION,
            "32 of 88 notes, mostly the bass: 32 of 32 there, 0 of 56 elsewhere",
        ),
        # A damp room with 30 of 88 notes slow.
        (SCATTERED_30, SpreadKind.EVERYWHERE, "30 of 88 notes, everywhere"),
        (KEYS, SpreadKind.EVERYWHERE, "88 of 88 notes, everywhere"),
        # A cluster among many others is not what the fault amounts to.
        (
            sorted({*SCATTERED_30, 60, 61, 62, 63, 64}),
            SpreadKind.EVERYWHERE,
            f"{len({*SCATTERED_30, 60, 61, 62, 63, 64})} of 88 notes, everywhere",
        ),
    ],
)
def test_the_verdict_says_where_the_fault_stands(affected, kind, sentence):
    found = spread(KEYS, affected, breaks=BREAKS)
    assert (found.kind, found.sentence) == (kind, sentence)
    assert (found.affected_count, found.examined_count) == (len(affected), 88)


def test_notes_on_both_sides_of_the_breaks_are_found():
    found = spread(KEYS, [52, 53, 75, 76], breaks=BREAKS)
    near = next(part for part in found.numbers.sections if part.section == Section.NEAR_BREAK)
    assert near.stands_out
    assert (near.affected, near.examined) == (4, 8)
    assert spread(KEYS, [52, 53, 75, 76]).numbers.sections[-1].section != Section.NEAR_BREAK


@pytest.mark.parametrize(
    ("examined", "sentence"),
    [
        ([60, 61, 62], "3 notes examined: too few to speak of spread"),
        ([60], "1 note examined: too few to speak of spread"),
        ([], "0 notes examined: too few to speak of spread"),
        (range(60, 67), "7 notes examined: too few to speak of spread"),
    ],
)
def test_of_too_few_notes_it_is_said_instead_of_a_number(examined, sentence):
    found = spread(examined, examined)
    assert (found.kind, found.sentence, found.numbers) == (SpreadKind.TOO_FEW, sentence, None)
    assert found.formulas == ()


def test_eight_notes_are_enough():
    assert spread(range(60, 68), [60]).kind == SpreadKind.ISOLATED


def test_neighbours_are_neighbours_among_the_notes_examined():
    # Only naturals were tried: three side by side are a run of three.
    found = spread(NATURALS, [60, 62, 64])
    assert found.numbers.longest_run == 3
    assert found.numbers.runs == 3
    # 52 notes, 3 affected: 50 of the C(52, 3) = 22100 arrangements are three side by side.
    assert found.numbers.longest_run_probability == Fraction(50, 22100)


def test_three_of_eight_within_five_neighbours_have_the_chance_known():
    # Source: counted by an independent program over 88 notes: 0.2024874.
    affected = [60, 62, 64, 25, 35, 45, 80, 95]
    windows = {window.width: window for window in spread(KEYS, affected).numbers.windows}
    assert windows[5].count == 3
    assert float(windows[5].probability) == pytest.approx(0.2024874, abs=5e-8)


def test_the_answer_carries_its_inputs_and_formulas():
    found = spread([*KEYS, 60], [62, 60, 60], breaks=[76, 53])
    assert found.examined == tuple(KEYS)
    assert found.affected == (60, 62)
    assert found.breaks == (53, 76)
    assert all(formula.name and formula.source for formula in found.formulas)


@pytest.mark.parametrize(
    ("examined", "affected", "sentence"),
    [
        (KEYS, [20], "MIDI note 20 is affected, but was not examined"),
        ([*KEYS, 128], [], "128 is not a MIDI number"),
        ([-1, *KEYS], [], "-1 is not a MIDI number"),
    ],
)
def test_notes_that_cannot_be_are_refused(examined, affected, sentence):
    with pytest.raises(ValueError, match=sentence):
        spread(examined, affected)


@given(notes, st.data())
def test_chances_are_chances_and_the_cluster_is_of_affected_notes(examined, data):
    affected = data.draw(st.sets(st.sampled_from(sorted(examined))))
    found = spread(list(examined), affected, breaks=BREAKS)
    numbers = found.numbers
    assert set(found.cluster_notes) <= affected
    assert 0 <= numbers.share_low <= numbers.share <= numbers.share_high <= 1
    for chance in (
        numbers.runs_probability,
        numbers.longest_run_probability,
        numbers.cluster_probability,
        *(part.corrected_probability for part in numbers.sections),
    ):
        assert 0 <= chance <= 1
    assert (found.kind == SpreadKind.NONE) == (not affected)


@given(st.sets(st.sampled_from(KEYS)))
def test_a_verdict_on_one_row_is_of_mostly_that_row(affected):
    found = spread(KEYS, affected)
    if found.kind in (SpreadKind.NATURALS, SpreadKind.SHARPS):
        is_of_row = is_natural if found.kind == SpreadKind.NATURALS else is_sharp
        assert sum(map(is_of_row, affected)) * 2 > len(affected)
        assert f"{found.kind}" in found.sentence


def test_a_whole_keyboard_takes_a_few_milliseconds():
    spread(KEYS, SCATTERED_30)
    started = process_time()
    spread(KEYS, SCATTERED_30)
    assert process_time() - started < 0.01
