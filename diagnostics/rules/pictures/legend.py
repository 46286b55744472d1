"""What stands above and below a drawn keyboard: headings, what the signs mean, how often."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from diagnostics.rules.looks import SEVERITIES
from diagnostics.rules.pictures.elements import (
    SIGN_EMS,
    Block,
    Element,
    box,
    picture,
    stacked,
    text,
    wrapped,
)
from diagnostics.rules.pictures.keys import BAR_WIDTH, Bar
from diagnostics.rules.pictures.signs import SOFT, UNSEEN, Sign, definitions
from shop.rules.words import ENGLISH, Words, said

HEADING_SIZE, TEXT_SIZE, SMALL_SIZE = 28.0, 20.0, 17.0
LINE = 1.35
NAME_X, COUNT_X, NOTES_X = 56.0, 350.0, 690.0
WORDS_X = 28.0
SWATCH_WIDTH, SWATCH_HEIGHT = 44.0, 22.0
MARGIN, GAP = 30.0, 22.0
# Words need this much between the margins, however few keys there are.
NARROWEST = 1000.0
SEVERITY = Sign("severity", "", SOFT, None, letter=" ")
# What each severity means to the player.
MEANINGS = ("noticed when looked for", "troubles the player", "cannot be played")


@dataclass(frozen=True)
class Entry:
    """A line of the legend: the sign, how often it stands in the picture, and on which notes."""

    sign: Sign
    counted: str
    places: str

    @property
    def told(self) -> str:
        """The entry as a sentence."""
        told = ": ".join(filter(None, (self.sign.name, self.counted, self.places)))
        return f"{self.sign.letter} {told}.".lstrip()


def headings(heading: str, lines: Sequence[str], width: float) -> Block:
    """Return the heading and the lines under it."""
    made, y = [], 0.0
    for content, size, weight in [
        (heading, HEADING_SIZE, "bold"),
        *((line, TEXT_SIZE, "normal") for line in lines),
    ]:
        for line in wrapped(content, size, width):
            y += size * LINE
            made.append(text(line, 0, y - size * 0.3, size, font_weight=weight, class_="ink"))
    return Block(y, made)


def caption(content: str) -> Block:
    """Return a line over a keyboard."""
    size = TEXT_SIZE
    return Block(size * LINE, [text(content, 0, size, size, font_weight="bold", class_="ink")])


def legend(entries: Iterable[Entry], width: float) -> Block:
    """Return a line, or more where the notes need them, for each entry."""
    made: list[Element] = []
    y, step = 0.0, SMALL_SIZE * LINE
    for entry in entries:
        made.append(swatch(entry.sign).at(0, y))
        lines = wrapped(entry.places, SMALL_SIZE, width - NOTES_X)
        columns = [(entry.sign.name, NAME_X), (entry.counted, COUNT_X)]
        made += [_written(words, x, y) for words, x in columns]
        made += [_written(line, NOTES_X, y + index * step) for index, line in enumerate(lines)]
        y += max(SWATCH_HEIGHT, len(lines) * step) + 8
    return Block(y, made)


def severities(width: float, *, with_unseen: bool, words: Words = ENGLISH) -> Block:
    """Return what the length of a bar means, and how a key not looked at is drawn."""
    samples = [
        (
            _standing(Bar(None, SEVERITY, severity, said(words, severity))),
            f"{said(words, severity)}: {said(words, meaning)}",
        )
        for severity, meaning in zip(SEVERITIES, MEANINGS, strict=True)
    ]
    return in_lines("", [*samples, *([unseen(words)] if with_unseen else [])], width)


def unseen(words: Words = ENGLISH) -> tuple[Block, str]:
    """Return how a key is drawn that was not looked at, and that it was not."""
    sign = UNSEEN[True]
    key = box(0, 0, BAR_WIDTH, SWATCH_HEIGHT, fill=sign.fill, stroke=sign.colour)
    return Block(SWATCH_HEIGHT, [key]), said(words, sign.name)


def whole_instrument(bars: Iterable[Bar], width: float, words: Words = ENGLISH) -> list[Block]:
    """Return the line of what concerns the whole instrument, none when nothing does."""
    samples = [(_standing(bar), bar.told) for bar in bars if bar.note_midi is None]
    before = said(words, "On the whole instrument:")
    return [in_lines(before, samples, width)] if samples else []


def in_lines(before: str, samples: Sequence[tuple[Block, str]], width: float) -> Block:
    """Return drawings side by side after some words, each with its own words to the right."""
    made = [_written(before, 0, 0)] if before else []
    start = len(before) * SMALL_SIZE * SIGN_EMS
    step = max(block.height for block, _ in samples) + 6
    x, y = start, 0.0
    for block, words in samples:
        taken = WORDS_X + len(words) * SMALL_SIZE * SIGN_EMS
        if x > start and x + taken > width:
            x, y = start, y + step
        made += [block.at(x, y), _written(words, x + WORDS_X, y)]
        x += taken + GAP
    return Block(y + step, made)


def swatch(sign: Sign) -> Block:
    """Return a small surface that looks as the sign's bars do, and stands for no finding."""
    surface = box(0, 0, SWATCH_WIDTH, SWATCH_HEIGHT, rx=2, fill=sign.fill, stroke=sign.colour)
    return Block(SWATCH_HEIGHT, [surface, *sign.plates(2, 2)])


def _standing(bar: Bar) -> Block:
    return Block(bar.height, [bar.drawn(BAR_WIDTH / 2, 0)])


def _written(words: str, x: float, y: float) -> Element:
    return text(words, x, y + SMALL_SIZE, SMALL_SIZE, class_="ink")


def page(
    heading: str,
    lines: Sequence[str],
    blocks: Iterable[Block],
    entries: Sequence[Entry],
    *,
    width: float,
) -> str:
    """Return the whole picture: headings, blocks, margins, and the same in words for a reader."""
    body = stacked([headings(heading, lines, width), *blocks], GAP)
    full_width, full_height = width + 2 * MARGIN, body.height + 2 * MARGIN
    told = [*(f"{line}." for line in lines), *(entry.told for entry in entries)]
    signs = [*(entry.sign for entry in entries), *UNSEEN.values()]
    drawn = [
        definitions(signs),
        box(0, 0, full_width, full_height, class_="paper"),
        body.at(MARGIN, MARGIN),
    ]
    return picture(full_width, full_height, heading, told, drawn)
