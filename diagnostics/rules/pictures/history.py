"""The picture of an instrument's history: over each key, when it was found faulty.

Behind its front every key is about as wide as any other, so that a column stands on each key's
tail. Its rows are the examinations, the oldest on top.
"""

from collections.abc import Sequence

from diagnostics.rules.keyboard import Compass
from diagnostics.rules.keyboard_geometry import Key, geometry_of
from diagnostics.rules.keyboard_words import (
    Faults,
    compass_words,
    found_words,
    history_words,
    key_words,
    look_words,
    often_words,
    places_counted,
    places_named,
    plural,
    times_found,
)
from diagnostics.rules.looks import SEVERITIES, Look, rank
from diagnostics.rules.note_names import note_name
from diagnostics.rules.pictures.elements import Block, Element, box, element, stacked, text, title
from diagnostics.rules.pictures.keys import LINE, WHITE, Keys, keyboard
from diagnostics.rules.pictures.legend import (
    MEANINGS,
    NARROWEST,
    SMALL_SIZE,
    Entry,
    in_lines,
    legend,
    page,
    unseen,
)
from diagnostics.rules.pictures.signs import COLOURS, UNSEEN, Sign

ROW_HEIGHT, CELL_HEIGHT, CELL_GAP = 28.0, 24.0, 1.0
DATE_WIDTH, COUNT_WIDTH, SAMPLE_WIDTH = 120.0, 100.0, 14.0
COLOUR = COLOURS[0]


def history_svg(compass: Compass, looks: Sequence[Look], faults: Faults, *, title: str) -> str:
    """Return the picture of an instrument's examinations, the oldest first, all on `compass`.

    Raises:
        ValueError: a note is not on the keyboard.
        KeyError: a fault is not in `faults`.
    """
    entries = _entries(compass, looks)
    board = keyboard(_keys(compass, looks), [])
    rows = stacked([_row(look, faults) for look in looks])
    columns = [rows.at(0, 0), board.at(DATE_WIDTH, rows.height)]
    width = max(NARROWEST, DATE_WIDTH + geometry_of(compass).width_mm + COUNT_WIDTH)
    blocks = [
        Block(rows.height + board.height, columns),
        legend(entries, width),
        _samples(width),
    ]
    heading = f"{title}, {compass_words(compass)}"
    return page(heading, [history_words(looks)], blocks, entries, width=width)


def _keys(compass: Compass, looks: Sequence[Look]) -> Keys:
    often = {midi: times_found(looks, midi) for midi in compass.notes}

    def told(midi: int) -> str:
        times = often[midi]
        return f"{key_words(midi, compass)}: faulty in {times.found} of {times.seen} examinations"

    return Keys(
        compass=compass,
        told=told,
        seen=[midi for midi in compass.notes if often[midi].seen],
        marked=[midi for midi in compass.notes if often[midi].found],
        figures={midi: str(often[midi].found) for midi in compass.notes if often[midi].found},
    )


def _entries(compass: Compass, looks: Sequence[Look]) -> list[Entry]:
    """Return the legend: which notes were found faulty most often, and so on to once."""
    places: dict[int, list[int | None]] = {}
    for place in (*compass.notes, None):
        places.setdefault(times_found(looks, place).found, []).append(place)
    return [
        Entry(
            Sign(f"times-{often}", often_words(often), COLOUR, None, letter=str(often)),
            places_counted(places[often]),
            places_named(places[often], compass),
        )
        for often in sorted(places, reverse=True)
        if often
    ]


def _row(look: Look, faults: Faults) -> Block:
    """Return one examination: its day, a cell for each key, and how many notes were faulty."""
    geometry = geometry_of(look.compass)
    ground = box(DATE_WIDTH, 0, geometry.width_mm, CELL_HEIGHT, fill=WHITE, stroke=LINE)
    cells = [made for key in geometry.keys.values() if (made := _cell(look, key, faults))]
    day, count = str(look.examined_on), plural(len(look.marked), "note")
    right, base = DATE_WIDTH + geometry.width_mm, CELL_HEIGHT - 6
    words = [
        text(day, 0, base, SMALL_SIZE, class_="ink"),
        text(count, right + 12, base, SMALL_SIZE, class_="ink"),
    ]
    return Block(ROW_HEIGHT, [element("g", title(look_words(look)), ground, *cells, *words)])


def _cell(look: Look, key: Key, faults: Faults) -> Element | None:
    """Return what an examination has to say of a key, None when nothing was wrong."""
    left = DATE_WIDTH + key.tail_left_mm + CELL_GAP
    width = key.tail_right_mm - key.tail_left_mm - 2 * CELL_GAP
    name = note_name(key.midi, look.compass)
    found = look.on(key.midi)
    if found:
        told = "; ".join(found_words(each, faults) for each in found)
        height = CELL_HEIGHT * (rank(found[0].severity) + 1) / len(SEVERITIES)
        surface = box(left, CELL_HEIGHT - height, width, height, fill=COLOUR)
        marks = {"class_": "faulty", "data_severity": found[0].severity}
    elif look.has_looked_at(key.midi):
        return None
    else:
        told, marks = UNSEEN[True].name.lower(), {"class_": "unseen"}
        surface = box(left, 0, width, CELL_HEIGHT, fill=UNSEEN[True].fill)
    heading = title(f"{name}, {look.examined_on}: {told}")
    return element("g", heading, surface, data_note=str(key.midi), **marks)


def _samples(width: float) -> Block:
    """Return what the cells mean."""
    samples = []
    for severity, meaning in zip(SEVERITIES, MEANINGS, strict=True):
        height = CELL_HEIGHT * (rank(severity) + 1) / len(SEVERITIES)
        ground = box(0, 0, SAMPLE_WIDTH, CELL_HEIGHT, fill=WHITE, stroke=LINE)
        surface = box(0, CELL_HEIGHT - height, SAMPLE_WIDTH, height, fill=COLOUR)
        samples.append((Block(CELL_HEIGHT, [ground, surface]), f"{severity}: {meaning}"))
    return in_lines("", [*samples, unseen()], width)
