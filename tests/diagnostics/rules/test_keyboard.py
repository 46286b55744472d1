import pytest
from hypothesis import given
from hypothesis import strategies as st
from pitchtools import PitchConverter, m2n, notated_pitch

from diagnostics.rules.keyboard import (
    COMPASSES,
    Compass,
    frequency_hz,
    is_natural,
    is_sharp,
)

EVERY_MIDI_NUMBER = range(128)
reference = PitchConverter(a4=440)


@pytest.mark.parametrize(
    ("midi", "hertz"),
    [
        (69, 440.0),  # A4. Source: ISO 16:1975
        # Source of the rest: the published table of piano key frequencies in equal temperament,
        # f = 440 * 2 ** ((n - 49) / 12) for key n of 88, printed to three decimals.
        (12, 16.352),  # C0
        (21, 27.500),  # A0
        (33, 55.000),  # A1
        (36, 65.406),  # C2
        (48, 130.813),  # C3
        (60, 261.626),  # C4
        (72, 523.251),  # C5
        (84, 1046.502),  # C6
        (96, 2093.005),  # C7
        (105, 3520.000),  # A7
        (108, 4186.009),  # C8
    ],
)
def test_frequencies_are_the_published_ones(midi, hertz):
    assert frequency_hz(midi) == pytest.approx(hertz, abs=0.0005)


def test_all_frequencies_agree_with_a_reference_library():
    ours = [frequency_hz(midi) for midi in EVERY_MIDI_NUMBER]
    assert ours == pytest.approx([reference.m2f(midi) for midi in EVERY_MIDI_NUMBER], rel=1e-12)


@pytest.mark.parametrize("a4_hz", [415.0, 435.0, 442.0])
def test_frequencies_follow_the_a_that_the_piano_is_tuned_to(a4_hz):
    assert frequency_hz(69, a4_hz) == a4_hz
    assert frequency_hz(60, a4_hz) == pytest.approx(PitchConverter(a4=a4_hz).m2f(60), rel=1e-12)


def test_sharps_are_the_black_keys_of_a_reference_library():
    black = [midi for midi in EVERY_MIDI_NUMBER if notated_pitch(m2n(midi)).is_black_key]
    assert [midi for midi in EVERY_MIDI_NUMBER if is_sharp(midi)] == black
    assert [midi for midi in EVERY_MIDI_NUMBER if not is_natural(midi)] == black


@pytest.mark.parametrize(
    ("keys", "lowest_midi", "highest_midi", "naturals", "sharps"),
    [
        # Source: published counts, 52 white and 36 black from A0 to C8.
        (88, 21, 108, 52, 36),
        # Source: published, seven octaves from A0 to A7; the division is octave arithmetic, 7 x 7
        # naturals and 7 x 5 sharps and the last A.
        (85, 21, 105, 50, 35),
        # Source: published, eight octaves from C0 to C8; 8 x 7 and 8 x 5 and the last C.
        (97, 12, 108, 57, 40),
        # Source: published compass F0 to C8: 88 and F0, F#0, G0, G#0.
        (92, 17, 108, 54, 38),
        # Source: published compass C0 to F8: 97 and C#8, D8, D#8, E8, F8.
        (102, 12, 113, 60, 42),
    ],
)
def test_each_compass_in_use_has_its_naturals_and_sharps(
    keys, lowest_midi, highest_midi, naturals, sharps
):
    compass = COMPASSES[keys]
    assert compass == Compass(lowest_midi, highest_midi)
    assert len(compass.notes) == keys
    assert (len(compass.naturals), len(compass.sharps)) == (naturals, sharps)


def test_no_other_compass_is_named():
    assert sorted(COMPASSES) == [85, 88, 92, 97, 102]


def test_eighty_eight_keys_are_the_usual_compass():
    assert Compass() == COMPASSES[88]


@pytest.mark.parametrize(
    ("keys", "midi", "key_number"),
    [
        # Source: key n of 88 is MIDI n + 20, A4 is key 49 and middle C key 40 (published table of
        # piano key frequencies).
        (88, 21, 1),
        (88, 60, 40),
        (88, 69, 49),
        (88, 108, 88),
        (97, 12, 1),  # C0 is the lowest of 97, so that counting begins there
        (97, 21, 10),  # A0
        (85, 105, 85),
    ],
)
def test_keys_are_counted_from_the_lowest_of_their_own_compass(keys, midi, key_number):
    assert COMPASSES[keys].key_number(midi) == key_number


@pytest.mark.parametrize("midi", [20, 109, -1, 10**100])
def test_a_note_beyond_the_ends_has_no_key(midi):
    assert not Compass().contains(midi)
    with pytest.raises(ValueError, match="outside 21 to 108"):
        Compass().key_number(midi)


@pytest.mark.parametrize(
    ("lowest_midi", "highest_midi"),
    [
        (108, 21),  # upside down
        (60, 60),  # a single key
        (-1, 87),  # below MIDI
        (21, 128),  # above MIDI
    ],
)
def test_an_impossible_compass_is_refused(lowest_midi, highest_midi):
    with pytest.raises(ValueError, match=f"not from {lowest_midi} to {highest_midi}"):
        Compass(lowest_midi, highest_midi)


@given(ends=st.lists(st.integers(0, 127), min_size=2, max_size=2, unique=True).map(sorted))
def test_every_key_of_a_compass_is_a_natural_or_a_sharp_once(ends):
    compass = Compass(*ends)
    assert sorted(compass.naturals + compass.sharps) == list(compass.notes)
    assert all(compass.contains(midi) for midi in compass.notes)
    assert [compass.key_number(midi) for midi in compass.notes] == [
        *range(1, len(compass.notes) + 1)
    ]
