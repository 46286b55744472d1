"""What stands for a fault, or for what became of one: colour, pattern and letter or symbol.

A fault's letter decides its colour and pattern, so that it looks the same in every picture. The
letter alone tells it; the pattern helps in black and white, the colour everyone else.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from diagnostics.rules.comparison import Change
from diagnostics.rules.pictures.elements import Element, box, element, moved, path, text

# Each is at least 3:1 against white (WCAG 2.2, 1.4.11), and apart from the others also for those
# who lack one kind of cone.
COLOURS = ("#14245c", "#c2410c", "#2a8c8c", "#8d41d9", "#5a1608")
PAPER, INK, SOFT = "#ffffff", "#1b1b1f", "#5b5b63"
DARK_PAPER, DARK_INK, DARK_SOFT = "#17181c", "#f2f2ee", "#b6b6bd"
STYLE = (
    f".paper{{fill:{PAPER}}}.ink{{fill:{INK}}}.soft{{fill:{SOFT}}}"
    "@media screen and (prefers-color-scheme:dark){"
    f".paper{{fill:{DARK_PAPER}}}.ink{{fill:{DARK_INK}}}.soft{{fill:{DARK_SOFT}}}}}"
)

PATTERN_SIZE = 8
# Strokes on a square of that size that goes on seamlessly. They are as many as have no factor in
# common with the number of colours, so that no two of 45 letters in a row look the same.
PATTERNS = (
    "M-2 2L2-2M0 8L8 0M6 10L10 6",
    "M-2 6L2 10M0 0L8 8M6-2L10 2",
    "M0 2H8M0 6H8",
    "M2 0V8M6 0V8",
    "M-2 2L2-2M0 8L8 0M6 10L10 6M-2 6L2 10M0 0L8 8M6-2L10 2",
    "M0 4H8M4 0V8",
    "M2 2h.01M6 6h.01",
    "M-1 5L2 2L6 6L9 3",
    "M0 1H8M0 5H8M2 1V5M6 5V9M6-3V1",
)
RISING, FALLING, LEVEL, UPRIGHT, CROSSED, GRID, DOTS, WAVES, BRICKS = range(len(PATTERNS))
LINE_WIDTH, DOT_WIDTH = 1.5, 3.4
# The plain ground behind a letter or a symbol.
PLATE = (15.0, 15.0)


@dataclass(frozen=True)
class Sign:
    """How a fault or a change looks; without a pattern it is plain.

    `letter` stands on it, `symbol`, a path within 10 by 10, below that.
    """

    id: str
    name: str
    colour: str
    pattern: int | None
    letter: str = ""
    symbol: str = ""
    back: str = PAPER

    @property
    def fill(self) -> str:
        """What its surface is filled with."""
        return self.back if self.pattern is None else f"url(#{self.id})"

    def definition(self) -> list[Element]:
        """Return its pattern, for the picture's definitions."""
        if self.pattern is None:
            return []
        size = PATTERN_SIZE
        strokes = path(
            PATTERNS[self.pattern],
            fill="none",
            stroke=self.colour,
            stroke_width=DOT_WIDTH if self.pattern == DOTS else LINE_WIDTH,
            stroke_linecap="round" if self.pattern == DOTS else "butt",
        )
        drawn = [box(0, 0, size, size, fill=self.back), strokes]
        made = element("pattern", *drawn, id=self.id, width=size, height=size)
        made.set("patternUnits", "userSpaceOnUse")
        return [made]

    def plates(self, x: float, y: float, *, across: bool = True) -> list[Element]:
        """Return letter and symbol on plain ground, side by side or one under another."""
        made = []
        for part in self._parts():
            made.append(
                element("g", box(0, 0, *PLATE, rx=2, fill=PAPER), part, transform=moved(x, y))
            )
            x, y = (x + PLATE[0], y) if across else (x, y + PLATE[1])
        return made

    def _parts(self) -> Iterator[Element]:
        width, height = PLATE
        if self.letter:
            middle = {"text_anchor": "middle", "font_weight": "bold", "fill": INK}
            yield text(self.letter, width / 2, height - 1.8, height, **middle)
        if self.symbol:
            line = {"fill": "none", "stroke": INK, "stroke_linecap": "round"}
            centred = moved(width / 2 - 5, height / 2 - 5)
            yield path(self.symbol, stroke_width=2, transform=centred, **line)


def fault_sign(letter: str, name: str) -> Sign:
    """Return the sign of a fault."""
    place = ord(letter)
    colour, pattern = COLOURS[place % len(COLOURS)], place % len(PATTERNS)
    return Sign(f"fault-{place}", name, colour, pattern, letter)


def definitions(signs: Iterable[Sign]) -> Element:
    """Return what a picture with these signs begins with: colours of paper and ink, patterns."""
    style = element("style")
    style.text = STYLE
    return element("defs", style, *(each for sign in signs for each in sign.definition()))


NAVY, ORANGE, TEAL, VIOLET, BROWN = COLOURS
TICK, PLUS, EQUALS = "M1 5.5L4 8.5L9 1.5", "M5 1V9M1 5H9", "M1 3.5H9M1 6.5H9"
DOWN, UP = "M5 1V9M1.5 5.5L5 9L8.5 5.5", "M5 9V1M1.5 4.5L5 1L8.5 4.5"
THREE_DOTS, STAR = "M1 5h.01M5 5h.01M9 5h.01", "M5 1V9M1.5 3L8.5 7M1.5 7L8.5 3"
CHANGES = {
    Change.CURED: Sign("cured", "Cured", TEAL, None, symbol=TICK),
    Change.BETTER: Sign("better", "Better", TEAL, LEVEL, symbol=DOWN),
    Change.UNCHANGED: Sign("unchanged", "Unchanged", NAVY, RISING, symbol=EQUALS),
    Change.WORSE: Sign("worse", "Worse", BROWN, CROSSED, symbol=UP),
    Change.NEW: Sign("new", "New", ORANGE, DOTS, symbol=PLUS),
    Change.NOT_LOOKED_AT_AGAIN: Sign(
        "not-again", "Not looked at again", SOFT, None, symbol=THREE_DOTS
    ),
    Change.NOT_LOOKED_AT_BEFORE: Sign(
        "not-before", "Not looked at before", VIOLET, GRID, symbol=STAR
    ),
}
# Of a key that was not looked at, by whether it is a natural.
UNSEEN = {
    True: Sign("unseen-natural", "Not looked at", "#a9a9a4", RISING, back="#f4f4f0"),
    False: Sign("unseen-sharp", "Not looked at", "#56565b", RISING, back="#b9b9b5"),
}
