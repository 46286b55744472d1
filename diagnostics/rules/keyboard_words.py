"""What drawn keyboards, on a terminal or as a picture, say in the same words."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from diagnostics.rules.comparison import Compared, Comparison
from diagnostics.rules.keyboard import Compass, frequency_hz, is_natural
from diagnostics.rules.looks import Found, Look
from diagnostics.rules.note_names import note_name, notes_text

# The letter and the name of each fault, by its code.
Faults = Mapping[str, tuple[str, str]]

WHOLE_INSTRUMENT = "the whole instrument"


def printable(text: str) -> str:
    """Return the text without what would steer a terminal or break a picture."""
    if text.isprintable():
        return text
    return "".join(sign if sign.isprintable() else "\N{REPLACEMENT CHARACTER}" for sign in text)


def plural(count: int, noun: str) -> str:
    """Return a count with its noun: `1 note`, `2 notes`."""
    return f"{count} {noun}{'' if count == 1 else 's'}"


def counted(notes: Iterable[int]) -> str:
    """Return how many notes there are: `3 notes (2 naturals, 1 sharp)`."""
    kinds = [is_natural(midi) for midi in notes]
    naturals = sum(kinds)
    kinds_told = f"{plural(naturals, 'natural')}, {plural(len(kinds) - naturals, 'sharp')}"
    return f"{plural(len(kinds), 'note')} ({kinds_told})"


def compass_words(compass: Compass) -> str:
    """Return how many keys there are and between which notes: `88 keys A0 to C8`."""
    low, high = compass.notes[0], compass.notes[-1]
    ends = f"{note_name(low, compass)} to {note_name(high, compass)}"
    return f"{len(compass.notes)} keys {ends}"


def key_words(midi: int, compass: Compass) -> str:
    """Return a key's name, number and nominal pitch on A4 = 440 Hz: `F#4, key 46, 370.0 Hz`."""
    name, pitch = note_name(midi, compass), frequency_hz(midi)
    return f"{name}, key {compass.key_number(midi)}, {pitch:.1f} Hz"


def found_words(found: Found, faults: Faults) -> str:
    """Return a finding without its note: `Slow return, moderate (hammer flange)`."""
    where = f" ({found.component_name})" if found.component_name else ""
    return f"{faults[found.fault][1]}, {found.severity}{where}"


def notes_of(found: Iterable[int | None]) -> tuple[list[int], bool]:
    """Return the notes among these, lowest first, and whether the whole instrument is."""
    places = set(found)
    return sorted(place for place in places if place is not None), None in places


def places_counted(places: Iterable[int | None]) -> str:
    """Return how many notes there are, or that it is the whole instrument alone."""
    notes, has_whole = notes_of(places)
    return WHOLE_INSTRUMENT if has_whole and not notes else counted(notes)


def places_named(places: Iterable[int | None], compass: Compass) -> str:
    """Return notes as ranges: `C3-G3, A3`; the whole instrument last, unless it stands alone."""
    notes, has_whole = notes_of(places)
    named = [notes_text(notes, compass)] if notes else []
    return ", ".join([*named, WHOLE_INSTRUMENT] if has_whole and named else named)


def look_words(look: Look) -> str:
    """Return when was looked at how much, and how much was found."""
    seen = len(look.notes)
    extent = f"{seen} of {len(look.compass.notes)} notes"
    if look.has_looked_at(None):
        extent = f"all {seen} notes"
    whole = len(look.on(None))
    told = f"{plural(len(look.found) - whole, 'finding')} on {counted(look.marked)}"
    told += f", {whole} on {WHOLE_INSTRUMENT}" if whole else ""
    return f"{look.examined_on}: {extent} looked at, {told}"


def often_words(often: int) -> str:
    """Return in how many examinations a note was found faulty."""
    return f"Faulty in {plural(often, 'examination')}"


def by_fault(found: Iterable[Found], faults: Faults) -> dict[str, list[Found]]:
    """Return the findings of each fault that was found, in the order of `faults`.

    Raises:
        ValueError: a fault is not in `faults`.
    """
    groups: dict[str, list[Found]] = {}
    for each in found:
        if each.fault not in faults:
            raise ValueError(f"No letter is given for the fault {each.fault!r}.")
        groups.setdefault(each.fault, []).append(each)
    return {code: groups[code] for code in faults if code in groups}


@dataclass(frozen=True)
class Times:
    """In how many examinations a note was `found` faulty, of those in which it was `seen`."""

    found: int
    seen: int


def times_found(looks: Sequence[Look], place: int | None) -> Times:
    """Return how often a note, or the whole instrument, was found faulty."""
    seen = [look for look in looks if look.on(place) or look.has_looked_at(place)]
    return Times(found=sum(bool(look.on(place)) for look in seen), seen=len(seen))


def history_words(looks: Sequence[Look]) -> str:
    """Return how many examinations there were, and from when to when."""
    if not looks:
        return "No examination yet"
    days = sorted(look.examined_on for look in looks)
    return f"{plural(len(looks), 'examination')}, {days[0]} to {days[-1]}"


def comparison_words(comparison: Comparison) -> str:
    """Return the two days and how many notes were looked at on both."""
    before, after = comparison.before.examined_on, comparison.after.examined_on
    return f"{before} to {after}: {plural(len(comparison.notes_compared), 'note')} compared"


def compared_words(item: Compared, compass: Compass, faults: Faults) -> str:
    """Return what became of a fault: `D4: Slow return, slight to severe, worse`."""
    severities = [each for each in (item.severity_before, item.severity_after) if each]
    where = f" ({item.component_name})" if item.component_name else ""
    told = f"{faults[item.fault][1]}{where}, {' to '.join(dict.fromkeys(severities))}"
    told += f", {item.change.replace('_', ' ')}"
    return told if item.note_midi is None else f"{note_name(item.note_midi, compass)}: {told}"
