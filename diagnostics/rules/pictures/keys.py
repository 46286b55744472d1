"""A keyboard as its player sees it from above, with bars that stand on its keys.

Bars of naturals hang below the keys, those of sharps stand above them, each on its own key. The
longer a bar, the worse the fault.
"""

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from diagnostics.rules.keyboard import SEMITONES_PER_OCTAVE, Compass, is_natural
from diagnostics.rules.keyboard_geometry import NATURAL_LENGTH_MM, Geometry, Key, geometry_of
from diagnostics.rules.looks import rank
from diagnostics.rules.note_names import note_name
from diagnostics.rules.pictures.elements import Block, Element, box, element, moved, text, title
from diagnostics.rules.pictures.signs import INK, PAPER, PLATE, UNSEEN, Sign

BAR_WIDTH = 19.5
BAR_GAP = 2.5
INSET = 2.0
SHORTEST, LONGER = 11.0, 12.0
EDGES = (1.2, 2.0, 3.2)
WHITE, MARKED_WHITE = "#fffdf6", "#ffe7b0"
BLACK, MARKED_BLACK = "#2b2b30", "#8f6a1c"
LINE = "#77777d"


@dataclass(frozen=True)
class Bar:
    """A fault on a note, None for the whole instrument; `told` is what a viewer shows of it."""

    note_midi: int | None
    sign: Sign
    severity: str
    told: str

    @property
    def height(self) -> float:
        """How long the bar is."""
        plates = bool(self.sign.letter) + bool(self.sign.symbol)
        return plates * PLATE[1] + SHORTEST + LONGER * rank(self.severity)

    def drawn(self, middle: float, y: float, *, upwards: bool = False) -> Element:
        """Return the bar from y on downwards, or upwards, its letter where it begins."""
        surface = box(
            *(0, 0, BAR_WIDTH, self.height),
            rx=2,
            fill=self.sign.fill,
            stroke=self.sign.colour,
            stroke_width=EDGES[rank(self.severity)],
        )
        plates = self.sign.plates((BAR_WIDTH - PLATE[0]) / 2, INSET, across=False)
        if upwards:
            lower = self.height - len(plates) * PLATE[1] - 2 * INSET
            plates = [element("g", *plates, transform=moved(0, lower))]
        return element(
            "g",
            title(self.told),
            surface,
            *plates,
            class_="bar",
            data_note="instrument" if self.note_midi is None else str(self.note_midi),
            data_sign=self.sign.id,
            data_severity=self.severity,
            transform=moved(middle - BAR_WIDTH / 2, y - self.height if upwards else y),
        )


@dataclass(frozen=True)
class Keys:
    """How the keys themselves are drawn.

    `told` says what a viewer shows of a key, `seen` are the notes looked at, `marked` those that
    have bars, `figures` are numbers to stand on keys.
    """

    compass: Compass
    told: Callable[[int], str]
    seen: Collection[int]
    marked: Collection[int]
    figures: Mapping[int, str] = field(default_factory=dict)

    def drawn(self, geometry: Geometry) -> Block:
        """Return the keys, naturals first, so that the sharps lie over them."""
        keys = sorted(geometry.keys.values(), key=lambda key: not key.is_natural)
        return Block(NATURAL_LENGTH_MM, [self._key(key) for key in keys])

    def _key(self, key: Key) -> Element:
        surface = box(
            *(key.left_mm, 0, key.right_mm - key.left_mm, key.length_mm),
            rx=1.5,
            fill=self._fill(key),
            stroke=LINE if key.is_natural else INK,
            stroke_width=0.8,
        )
        signs = [title(self.told(key.midi)), surface, *self._name(key), *self._figure(key)]
        return element("g", *signs, class_="key", data_note=str(key.midi))

    def _fill(self, key: Key) -> str:
        if key.midi not in self.seen:
            return f"url(#{UNSEEN[key.is_natural].id})"
        plain, marked = (WHITE, MARKED_WHITE) if key.is_natural else (BLACK, MARKED_BLACK)
        return marked if key.midi in self.marked else plain

    def _name(self, key: Key) -> list[Element]:
        """Return the name and the number of a C, to stand on the front of its key."""
        if key.midi % SEMITONES_PER_OCTAVE:
            return []
        name, number = note_name(key.midi, self.compass), self.compass.key_number(key.midi)
        return [
            text(name, key.middle_mm, 130, 13, text_anchor="middle", font_weight="bold", fill=INK),
            text(str(number), key.middle_mm, 144, 11, text_anchor="middle", fill=INK),
        ]

    def _figure(self, key: Key) -> list[Element]:
        if key.midi not in self.figures:
            return []
        middle = {"text_anchor": "middle", "font_weight": "bold"}
        y, colour = (112, INK) if key.is_natural else (88, PAPER)
        size = 14 if key.is_natural else 11
        return [text(self.figures[key.midi], key.middle_mm, y, size, fill=colour, **middle)]


def keyboard(keys: Keys, bars: Iterable[Bar]) -> Block:
    """Return the keys with the bars of their notes, those of one note one after another."""
    geometry = geometry_of(keys.compass)
    stacks: dict[int, list[Bar]] = {}
    for bar in bars:
        if bar.note_midi is not None:
            stacks.setdefault(bar.note_midi, []).append(bar)
    heights = {midi: sum(bar.height + BAR_GAP for bar in stack) for midi, stack in stacks.items()}
    above = max((height for midi, height in heights.items() if not is_natural(midi)), default=0.0)
    below = max((height for midi, height in heights.items() if is_natural(midi)), default=0.0)
    drawn = [keys.drawn(geometry).at(0, above)]
    for midi, stack in sorted(stacks.items()):
        drawn += _stacked(geometry.keys[midi], stack, above)
    return Block(above + NATURAL_LENGTH_MM + below, drawn)


def _stacked(key: Key, stack: Sequence[Bar], top: float) -> Iterable[Element]:
    y = top + NATURAL_LENGTH_MM + BAR_GAP if key.is_natural else top - BAR_GAP
    for bar in stack:
        yield bar.drawn(key.middle_mm, y, upwards=not key.is_natural)
        y += (bar.height + BAR_GAP) * (1 if key.is_natural else -1)
