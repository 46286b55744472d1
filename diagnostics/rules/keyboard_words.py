"""What drawn keyboards, on a terminal or as a picture, say in the same words."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from diagnostics.rules.comparison import Compared, Comparison
from diagnostics.rules.keyboard import Compass, frequency_hz, is_natural
from diagnostics.rules.looks import Found, Look
from diagnostics.rules.note_names import note_name, notes_said, notes_text
from shop.rules.words import ENGLISH, Words, decimal, said

# The letter and the name of each fault, by its code.
Faults = Mapping[str, tuple[str, str]]

WHOLE_INSTRUMENT = "the whole instrument"


def printable(text: str) -> str:
    """Return the text without what would steer a terminal or break a picture."""
    if text.isprintable():
        return text
    return "".join(sign if sign.isprintable() else "\N{REPLACEMENT CHARACTER}" for sign in text)


def plural(count: int, noun: str, words: Words = ENGLISH) -> str:
    """Return a count with its noun: `1 note`, `2 notes`."""
    return f"{count} {said(words, noun if count == 1 else f'{noun}s')}"


def counted(notes: Iterable[int], words: Words = ENGLISH) -> str:
    """Return how many notes there are: `3 notes (2 naturals, 1 sharp)`."""
    kinds = [is_natural(midi) for midi in notes]
    naturals = plural(sum(kinds), "natural", words)
    sharps = plural(len(kinds) - sum(kinds), "sharp", words)
    return f"{plural(len(kinds), 'note', words)} ({naturals}, {sharps})"


def compass_words(compass: Compass, words: Words = ENGLISH) -> str:
    """Return how many keys there are and between which notes: `88 keys A0 to C8`."""
    low, high = (notes_said(words, note_name(compass.notes[end], compass)) for end in (0, -1))
    return said(words, "{count} keys {low} to {high}", count=len(compass.notes), low=low, high=high)


def key_words(midi: int, compass: Compass, words: Words = ENGLISH) -> str:
    """Return a key's name, number and nominal pitch on A4 = 440 Hz: `F#4, key 46, 370.0 Hz`."""
    name, pitch = notes_said(words, note_name(midi, compass)), decimal(words, frequency_hz(midi), 1)
    number = compass.key_number(midi)
    return said(words, "{name}, key {number}, {pitch} Hz", name=name, number=number, pitch=pitch)


def found_words(found: Found, faults: Faults, words: Words = ENGLISH) -> str:
    """Return a finding without its note: `Slow return, moderate (hammer flange)`."""
    where = f" ({said(words, found.component_name)})" if found.component_name else ""
    return f"{said(words, faults[found.fault][1])}, {said(words, found.severity)}{where}"


def notes_of(found: Iterable[int | None]) -> tuple[list[int], bool]:
    """Return the notes among these, lowest first, and whether the whole instrument is."""
    places = set(found)
    return sorted(place for place in places if place is not None), None in places


def places_counted(places: Iterable[int | None], words: Words = ENGLISH) -> str:
    """Return how many notes there are, or that it is the whole instrument alone."""
    notes, has_whole = notes_of(places)
    return said(words, WHOLE_INSTRUMENT) if has_whole and not notes else counted(notes, words)


def places_named(places: Iterable[int | None], compass: Compass, words: Words = ENGLISH) -> str:
    """Return notes as ranges: `C3-G3, A3`; the whole instrument last, unless it stands alone."""
    notes, has_whole = notes_of(places)
    named = [notes_said(words, notes_text(notes, compass))] if notes else []
    whole = said(words, WHOLE_INSTRUMENT)
    return ", ".join([*named, whole] if has_whole and named else named)


def look_words(look: Look, words: Words = ENGLISH) -> str:
    """Return when was looked at how much, and how much was found."""
    day, seen, count = look.examined_on, len(look.notes), len(look.compass.notes)
    told = said(words, "{day}: {seen} of {count} notes looked at", day=day, seen=seen, count=count)
    if look.has_looked_at(None):
        told = said(words, "{day}: all {count} notes looked at", day=day, count=seen)
    whole = len(look.on(None))
    findings = plural(len(look.found) - whole, "finding", words)
    notes = counted(look.marked, words)
    told += said(words, ", {findings} on {notes}", findings=findings, notes=notes)
    return told + (said(words, ", {count} on the whole instrument", count=whole) if whole else "")


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
