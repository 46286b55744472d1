import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from pitchtools import n2m

from diagnostics.rules.keyboard import COMPASSES, Compass
from diagnostics.rules.note_names import (
    LONGEST_TEXT,
    Naming,
    NoteError,
    note_name,
    notes_text,
    parse_notes,
)

PIANO = Compass()
EVERY_MIDI_NUMBER = Compass(0, 127)

ends = st.lists(st.integers(0, 127), min_size=2, max_size=2, unique=True).map(sorted)
compasses = st.sampled_from(list(COMPASSES.values())) | ends.map(lambda pair: Compass(*pair))
namings = st.sampled_from(list(Naming))


def in_reference_spelling(name: str) -> str:
    """The reference library writes the octave first."""
    letters = name.rstrip("-0123456789")
    return name.removeprefix(letters) + letters


def test_all_scientific_names_mean_the_same_to_a_reference_library():
    names = [note_name(midi, EVERY_MIDI_NUMBER) for midi in EVERY_MIDI_NUMBER.notes]
    assert [n2m(in_reference_spelling(name)) for name in names] == list(EVERY_MIDI_NUMBER.notes)


@pytest.mark.parametrize("accidental", ["", "#", "b"])
@pytest.mark.parametrize("letter", "CDEFGAB")
def test_every_spelling_is_read_as_a_reference_library_reads_it(letter, accidental):
    names = [f"{letter}{accidental}{octave}" for octave in range(9)]
    read = [parse_notes(name, EVERY_MIDI_NUMBER) for name in names]
    assert read == [(n2m(in_reference_spelling(name)),) for name in names]


@pytest.mark.parametrize(
    ("name", "midi"),
    [
        # Source: MIDI 1.0 Detailed Specification, middle C is note 60 (from memory).
        ("C4", 60),
        # Source: published table of piano key frequencies: names of keys 1, 49 and 88.
        ("A0", 21),
        ("A4", 69),
        ("C8", 108),
        ("F#4", 66),
        ("F♯4", 66),
        ("Bb3", 58),
        ("B♭3", 58),
        ("bb3", 58),  # a small letter, then a flat
        ("f#4", 66),
        ("Cb4", 59),  # an octave begins at its C, and the letter says which octave
        ("B#3", 60),
        ("40", 60),  # a bare number is a key number
    ],
)
def test_scientific_names_are_read(name, midi):
    assert parse_notes(name, PIANO) == (midi,)


@pytest.mark.parametrize(
    ("keys", "name", "midi"),
    [
        # Common practice, as technicians' lists have it: the 88 are A1 to C88, middle C is C40.
        (88, "A1", 21),
        (88, "C40", 60),
        (88, "C88", 108),
        (88, "C4", 24),  # the fourth key, not middle C
        (88, "F#46", 66),
        (88, "Gb46", 66),
        (88, "40", 60),
        (97, "C1", 12),  # key 1 of the 97 is C0
        (97, "A10", 21),
        (85, "A85", 105),
    ],
)
def test_a_letter_with_its_key_number_is_read(keys, name, midi):
    assert parse_notes(name, COMPASSES[keys], "key_number") == (midi,)


def test_a_program_may_send_midi_numbers():
    assert parse_notes("60, 62-64", PIANO, "midi") == (60, 62, 63, 64)


@pytest.mark.parametrize(
    ("text", "notes"),
    [
        ("A0-C2", tuple(range(21, 37))),
        ("a0 - c2", tuple(range(21, 37))),
        ("A0-A0", (21,)),
        ("A0-C1,F4", (21, 22, 23, 24, 65)),
        ("F4 , A0-C1", (21, 22, 23, 24, 65)),  # sorted
        ("C4,B#3,40,C4-C#4", (60, 61)),  # once each
        ("naturals C4-C5", (60, 62, 64, 65, 67, 69, 71, 72)),
        ("Sharps C4-C5, E4", (61, 63, 64, 66, 68, 70)),
        ("naturals F4", (65,)),
        ("all C4-D4", (60, 61, 62)),
        ("1-C1", (21, 22, 23, 24)),
    ],
)
def test_ranges_lists_and_words_add_up(text, notes):
    assert parse_notes(text, PIANO) == notes


@pytest.mark.parametrize("compass", COMPASSES.values())
def test_a_word_alone_is_over_the_whole_keyboard(compass):
    assert parse_notes("all", compass) == tuple(compass.notes)
    assert parse_notes("naturals", compass) == compass.naturals
    assert parse_notes("sharps", compass) == compass.sharps
    assert parse_notes("sharps,naturals", compass) == tuple(compass.notes)


def test_a_range_may_begin_below_octave_0():
    assert parse_notes("C-1-D-1", EVERY_MIDI_NUMBER) == (0, 1, 2)


@pytest.mark.parametrize(
    ("text", "naming", "code", "position", "told"),
    [
        ("", "scientific", "note-missing", 1, "no note at character 1"),
        ("A0,,B1", "scientific", "note-missing", 4, "no note at character 4"),
        ("A0, ", "scientific", "note-missing", 5, "a range such as A0-C2"),
        ("H9", "scientific", "note-unreadable", 1, "'H9' at character 1 cannot be read"),
        ("A4,H4", "scientific", "note-unreadable", 4, "'H4' at character 4"),
        ("A", "scientific", "note-unreadable", 1, "F#4 or Bb3"),
        ("C##4", "scientific", "note-unreadable", 1, "'C##4'"),
        ("A0-", "scientific", "note-unreadable", 1, "lacks an end of its range"),
        ("-A0", "scientific", "note-unreadable", 1, "lacks an end of its range"),
        ("C4-D4-E4", "scientific", "note-unreadable", 1, "cannot be read"),
        ("blacks", "scientific", "note-unreadable", 1, "all, naturals or sharps"),
        ("C4.0", "scientific", "note-unreadable", 1, "'C4.0'"),
        ("C4\x00", "scientific", "note-unreadable", 1, r"'C4\x00'"),
        ("٤٠", "scientific", "note-unreadable", 1, "cannot be read"),  # digits of another script
        ("\uff23\uff14", "scientific", "note-unreadable", 1, "cannot be read"),  # full-width C4
        ("\u017fharps", "midi", "note-unreadable", 1, "cannot be read"),  # long s
        ("²", "midi", "note-unreadable", 1, "cannot be read"),
        ("C4", "midi", "note-unreadable", 1, "a MIDI number such as 60"),
        ("-60", "midi", "note-unreadable", 1, "lacks an end"),
        ("C-4", "key_number", "note-unreadable", 1, "a letter with its key number"),
        ("C2-A0", "scientific", "range-reversed", 1, "lower end first, A0-C2"),
        ("G#0", "scientific", "note-outside-compass", 1, "A0 to C8 (keys 1 to 88)"),
        ("A0-C#8", "scientific", "note-outside-compass", 4, "'C#8' at character 4"),
        ("C40", "scientific", "note-outside-compass", 1, "is the naming key_number"),
        ("0", "scientific", "note-outside-compass", 1, "keys 1 to 88"),
        ("89", "scientific", "note-outside-compass", 1, "keys 1 to 88"),
        ("A0", "key_number", "note-outside-compass", 1, "is the naming scientific"),
        ("20", "midi", "note-outside-compass", 1, "MIDI 21 to 108"),
        ("9" * 900, "midi", "note-outside-compass", 1, f"'{'9' * 24}…'"),
        ("C" + "9" * 900, "scientific", "note-outside-compass", 1, "A0 to C8"),
        ("C41", "key_number", "note-contradictory", 1, "key 41 is C#41 here (C#4"),
        ("A4-F4", "key_number", "note-contradictory", 1, "key 4 is C4 here (C1"),
        ("sharps E4-F4", "scientific", "note-none", 1, "there are no sharps there"),
        ("1," * 600, "scientific", "notes-too-long", 1001, "1200 characters"),
        ("C4", "solfege", "naming-unknown", 1, "scientific, key_number, midi"),
    ],
)
def test_what_names_no_notes_is_refused_and_says_why(text, naming, code, position, told):
    with pytest.raises(NoteError) as refusal:
        parse_notes(text, PIANO, naming)
    assert refusal.value.code == code
    assert refusal.value.position == position
    assert told in str(refusal.value)
    assert len(str(refusal.value)) < 300


@pytest.mark.parametrize("keys", COMPASSES)
def test_an_error_names_the_compass_of_this_keyboard(keys):
    compass = COMPASSES[keys]
    ends = {85: "A0 to A7", 88: "A0 to C8", 92: "F0 to C8", 97: "C0 to C8", 102: "C0 to F8"}
    with pytest.raises(NoteError, match=rf"{ends[keys]} \(keys 1 to {keys}\)"):
        parse_notes("G8", compass)


@given(compass=compasses, naming=namings, data=st.data())
def test_a_name_written_is_read_back(compass, naming, data):
    midi = data.draw(st.sampled_from(compass.notes))
    assert parse_notes(note_name(midi, compass, naming), compass, naming) == (midi,)


@given(compass=compasses, naming=namings, data=st.data())
def test_a_range_is_every_note_between_its_ends(compass, naming, data):
    pair = st.lists(st.sampled_from(compass.notes), min_size=2, max_size=2)
    low, high = sorted(data.draw(pair))
    text = f"{note_name(low, compass, naming)}-{note_name(high, compass, naming)}"
    assert parse_notes(text, compass, naming) == tuple(range(low, high + 1))


@given(compass=compasses, naming=namings, data=st.data())
def test_any_notes_written_are_read_back(compass, naming, data):
    notes = data.draw(st.sets(st.sampled_from(compass.notes), min_size=1))
    text = notes_text(notes, compass, naming)
    assert parse_notes(text, compass, naming) == tuple(sorted(notes))


@pytest.mark.parametrize("naming", Naming)
def test_every_key_named_by_itself_is_short_enough_to_be_read(naming):
    names = (note_name(midi, EVERY_MIDI_NUMBER, naming) for midi in EVERY_MIDI_NUMBER.notes)
    text = ", ".join(names)
    assert len(text) <= LONGEST_TEXT
    assert parse_notes(text, EVERY_MIDI_NUMBER, naming) == tuple(EVERY_MIDI_NUMBER.notes)


@pytest.mark.parametrize(
    ("notes", "text"),
    [
        ([65, *range(21, 37)], "A0-C2, F4"),
        ([60, 61], "C4, C#4"),  # two are not worth a range
        ([], ""),
    ],
)
def test_notes_are_written_as_runs(notes, text):
    assert notes_text(notes, PIANO) == text


@pytest.mark.parametrize(
    ("naming", "name"), [("scientific", "F#4"), ("key_number", "F#46"), ("midi", "66")]
)
def test_a_note_is_written_in_the_naming_asked_for(naming, name):
    assert note_name(66, PIANO, naming) == name


@pytest.mark.parametrize("naming", Naming)
def test_a_note_that_the_keyboard_lacks_is_not_named(naming):
    with pytest.raises(ValueError, match="outside 21 to 108"):
        note_name(20, PIANO, naming)


likely_text = st.text(
    alphabet="ABCDEFGHabcz#♯♭0123456789-\u2013, \t\n\0٣²allnaturlshp", max_size=40
)


@given(text=st.text() | likely_text, naming=namings | st.text(), compass=compasses)
@example(text="-", naming="scientific", compass=PIANO)
@example(text="A", naming="midi", compass=PIANO)
@example(text="all all", naming="scientific", compass=PIANO)
@example(text="\ud800", naming="key_number", compass=PIANO)
def test_any_text_is_read_or_refused_by_the_one_error(text, naming, compass):
    try:
        notes = parse_notes(text, compass, naming)
    except NoteError as error:
        refusal, notes = error, ()
    else:
        refusal = None
    assert bool(notes) is (refusal is None)
    assert list(notes) == sorted(set(notes))
    assert all(compass.contains(midi) for midi in notes)
    assert refusal is None or 1 <= refusal.position <= len(text) + 1
