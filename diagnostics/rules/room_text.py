"""The days of a room for a terminal: a line each, with the humidity on a scale from 0 to 100 %."""

import textwrap
from collections.abc import Sequence

from diagnostics.rules.room import HumidityLimits, RoomDay
from diagnostics.rules.room_words import RoomSpan, span_words

ROW = "{:10}  {:>6}  {:>3}  {:>6}  "
HEADER = ROW.format("day", "°C", "%", "wood %")
SCALE, LOWEST, TARGET, HIGHEST, MEAN = "·", "[", "|", "]", "*"
# Bold, and a colour that reads on light and on dark. Source: ECMA-48, Select Graphic Rendition.
DAMP, DRY = "1;34", "1;31"


def room_text(
    days: Sequence[RoomDay],
    span: RoomSpan,
    limits: HumidityLimits,
    verdict: str,
    *,
    title: str,
    width: int = 100,
    colour: bool = False,
) -> str:
    """Return the days as lines of at most `width` columns, oldest first.

    `*` is the mean humidity of a day between the limits `[` and `]`; `|` is the target. `colour`
    adds ANSI codes to days outside the limits; nothing is told by colour alone.
    """
    words = [title, *span_words(days, span), verdict]
    lines = [line for each in words for line in textwrap.wrap(each, width)]
    if not days:
        return "\n".join([*lines, ""])
    columns = max(width - len(HEADER), 5)
    scale = f"0 %{'100 %':>{columns - 3}}" if columns >= len("0 %100 %") else ""
    marks = {
        _column(limits.lowest_percent, columns): LOWEST,
        _column(limits.highest_percent, columns): HIGHEST,
        _column(limits.target_percent, columns): TARGET,
    }
    rows = [_row(day, limits, marks, columns, colour=colour) for day in days]
    return "\n".join([*lines, "", f"{HEADER}{scale}", *rows, ""])


def _row(
    day: RoomDay, limits: HumidityLimits, marks: dict[int, str], columns: int, *, colour: bool
) -> str:
    mean = day.mean
    signs = marks | {_column(mean.humidity_percent, columns): MEAN}
    scale = "".join(signs.get(column, SCALE) for column in range(columns))
    values = (
        f"{mean.temperature_c:.1f}",
        f"{mean.humidity_percent:.0f}",
        f"{mean.moisture_percent:.1f}",
    )
    row = ROW.format(str(day.on), *values) + scale
    if colour and mean.humidity_percent > limits.highest_percent:
        return f"\x1b[{DAMP}m{row}\x1b[0m"
    if colour and mean.humidity_percent < limits.lowest_percent:
        return f"\x1b[{DRY}m{row}\x1b[0m"
    return row


def _column(percent: float, columns: int) -> int:
    return round(percent / 100 * (columns - 1))
