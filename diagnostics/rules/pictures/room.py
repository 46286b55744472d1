"""The chart of a room: humidity, temperature and what wood settles at, day by day.

The three stand one under another over the same days. A dot is the mean of a day, a bar behind it
goes from the lowest to the highest reading. Dots of days in a row are joined, so that a gap stays
one.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

from diagnostics.rules.pictures.elements import (
    Block,
    Element,
    box,
    element,
    path,
    stacked,
    text,
    title,
)
from diagnostics.rules.pictures.keys import LINE, WHITE
from diagnostics.rules.pictures.legend import SMALL_SIZE, Entry, caption, in_lines, page
from diagnostics.rules.pictures.signs import COLOURS, INK, RISING, Sign
from diagnostics.rules.room import HumidityLimits, RoomDay
from diagnostics.rules.room_words import RoomSpan, day_words, span_words
from diagnostics.rules.wood import equilibrium_moisture_percent

WIDTH, LEFT, RIGHT = 1000.0, 60.0, 190.0
PLOT_WIDTH = WIDTH - LEFT - RIGHT
PANEL_HEIGHT, DATES_HEIGHT, CAPTION_GAP = 170.0, 28.0, 8.0
MOST_DATES, MOST_TICKS = 7, 5
DOT_RADIUS, SMALL_DOT_RADIUS, MANY_DAYS = 3.2, 1.8, 120
BAR_WIDTH, BAR_SHARE, JOIN_WIDTH = 2.5, 0.6, 2.0
SAMPLE = 22.0
NAVY, TEAL = COLOURS[0], COLOURS[2]
DASHES, PALE = "7 5", "#b4b4ba"
ACCEPTED = Sign("accepted", "accepted humidity", PALE, RISING, back=WHITE)
# Steps between dates, in days, and between ticks, times a power of ten.
DATE_STEPS = (1, 2, 7, 14, 28, 56, 91, 182, 364)
TICK_STEPS = (1, 2, 5, 10)


@dataclass(frozen=True)
class _Mark:
    """A value that a panel shows as a line across it."""

    value: float
    name: str
    is_dashed: bool


@dataclass(frozen=True)
class _Panel:
    """One of the three charts: of each day the lowest, mean and highest value."""

    name: str
    days: Sequence[RoomDay]
    values: Sequence[tuple[float, float, float]]
    lowest: float
    highest: float
    step: float
    span: RoomSpan
    marks: Sequence[_Mark] = ()

    def x(self, day: date) -> float:
        """Return where a day stands: in the middle of its width."""
        return LEFT + PLOT_WIDTH * ((day - self.span.since).days + 0.5) / self.span.count

    def y(self, value: float) -> float:
        """Return where a value stands, the highest on top."""
        return PANEL_HEIGHT * (self.highest - value) / (self.highest - self.lowest)


def room_svg(
    days: Sequence[RoomDay],
    span: RoomSpan,
    limits: HumidityLimits,
    verdict: str,
    *,
    title: str,
) -> str:
    """Return the picture of a room's days, oldest first; `verdict` is the sentence under it."""
    lines = [*span_words(days, span), verdict]
    if not days:
        return page(title, lines, [], [], width=WIDTH)
    humidity = _humidity(days, span, limits)
    panels = [humidity, _temperature(days, span), _moisture(days, span, limits)]
    band = box(
        *(LEFT, humidity.y(limits.highest_percent), PLOT_WIDTH),
        humidity.y(limits.lowest_percent) - humidity.y(limits.highest_percent),
        fill=ACCEPTED.fill,
        class_="accepted",
    )
    grounds = [[band], [], []]
    blocks = [
        stacked([caption(panel.name), _drawn(panel, behind)], CAPTION_GAP)
        for panel, behind in zip(panels, grounds, strict=True)
    ]
    accepted = f"{limits.lowest_percent:g} to {limits.highest_percent:g} %"
    return page(title, lines, [*blocks, _meanings()], [Entry(ACCEPTED, accepted, "")], width=WIDTH)


def _humidity(days: Sequence[RoomDay], span: RoomSpan, limits: HumidityLimits) -> _Panel:
    return _Panel(
        "Relative humidity, %",
        days,
        [
            (day.lowest_humidity_percent, day.mean.humidity_percent, day.highest_humidity_percent)
            for day in days
        ],
        lowest=0,
        highest=100,
        step=20,
        span=span,
        marks=[
            _Mark(limits.highest_percent, f"highest {limits.highest_percent:g} %", is_dashed=False),
            _Mark(limits.target_percent, f"target {limits.target_percent:g} %", is_dashed=True),
            _Mark(limits.lowest_percent, f"lowest {limits.lowest_percent:g} %", is_dashed=False),
        ],
    )


def _temperature(days: Sequence[RoomDay], span: RoomSpan) -> _Panel:
    values = [
        (day.lowest_temperature_c, day.mean.temperature_c, day.highest_temperature_c)
        for day in days
    ]
    lowest, highest, step = _scale([end for value in values for end in value])
    return _Panel("Temperature, °C", days, values, lowest, highest, step, span)


def _moisture(days: Sequence[RoomDay], span: RoomSpan, limits: HumidityLimits) -> _Panel:
    values = [(day.mean.moisture_percent,) * 3 for day in days]
    temperature = sum(day.mean.temperature_c for day in days) / len(days)
    target = equilibrium_moisture_percent(temperature, limits.target_percent)
    lowest, highest, step = _scale([target, *(mean for mean, _, _ in values)])
    mark = _Mark(target, f"at target {target:.1f} %", is_dashed=True)
    name = "Moisture content that wood settles at, %"
    return _Panel(name, days, values, lowest, highest, step, span, [mark])


def _scale(values: Sequence[float]) -> tuple[float, float, float]:
    """Return the ends and the step of a scale that holds `values` and has round ticks."""
    span = max(max(values) - min(values), 1)
    power = 10 ** math.floor(math.log10(span / MOST_TICKS))
    step = next(power * each for each in TICK_STEPS if span / (power * each) <= MOST_TICKS)
    lowest = math.floor(min(values) / step) * step
    highest = math.ceil(max(values) / step) * step
    return lowest, highest if highest > lowest else lowest + step, step


def _drawn(panel: _Panel, behind: Sequence[Element]) -> Block:
    """Return a panel: its ground, scale, marks, days, and the dates below."""
    ground = box(LEFT, 0, PLOT_WIDTH, PANEL_HEIGHT, fill=WHITE, stroke=LINE)
    drawn = [ground, *behind, *_ticks(panel), *_marks(panel)]
    drawn += [*_bars(panel), *_joins(panel), *_points(panel)]
    return Block(PANEL_HEIGHT + DATES_HEIGHT, [*drawn, *_dates(panel)])


def _ticks(panel: _Panel) -> list[Element]:
    made = []
    count = round((panel.highest - panel.lowest) / panel.step)
    for index in range(count + 1):
        value = panel.lowest + index * panel.step
        y = panel.y(value)
        made.append(path(f"M{LEFT} {y:.2f}h{PLOT_WIDTH}", stroke=LINE, stroke_width=0.4))
        label = f"{round(value, 6):g}"
        made.append(_label(label, LEFT - 8, y + SMALL_SIZE / 3, text_anchor="end"))
    return made


def _marks(panel: _Panel) -> list[Element]:
    """Return lines across the panel with their names to the right, apart from each other."""
    made = []
    free = -math.inf
    for mark in sorted(panel.marks, key=lambda mark: -mark.value):
        y = panel.y(mark.value)
        line = {"stroke_dasharray": DASHES} if mark.is_dashed else {}
        steps = f"M{LEFT} {y:.2f}h{PLOT_WIDTH}"
        made.append(path(steps, stroke=INK, stroke_width=1.2, class_="mark", **line))
        free = max(free + SMALL_SIZE, y + SMALL_SIZE / 3)
        made.append(_label(mark.name, LEFT + PLOT_WIDTH + 8, free))
    return made


def _joins(panel: _Panel) -> list[Element]:
    """Return the line through the means, broken where a day has no reading."""
    steps = []
    for (earlier, (_, before, _)), (later, (_, after, _)) in pairwise(
        zip(panel.days, panel.values, strict=True)
    ):
        if later.on - earlier.on == timedelta(days=1):
            start = f"M{panel.x(earlier.on):.2f} {panel.y(before):.2f}"
            steps.append(f"{start}L{panel.x(later.on):.2f} {panel.y(after):.2f}")
    if not steps:
        return []
    return [path("".join(steps), fill="none", stroke=NAVY, stroke_width=JOIN_WIDTH, class_="join")]


def _bars(panel: _Panel) -> list[Element]:
    """Return lines from the lowest to the highest of each day, thinner where days are many."""
    steps = [
        f"M{panel.x(day.on):.2f} {panel.y(highest):.2f}V{panel.y(lowest):.2f}"
        for day, (lowest, _, highest) in zip(panel.days, panel.values, strict=True)
        if highest > lowest
    ]
    if not steps:
        return []
    width = min(BAR_WIDTH, BAR_SHARE * PLOT_WIDTH / panel.span.count)
    return [path("".join(steps), stroke=TEAL, stroke_width=width, class_="bars")]


def _points(panel: _Panel) -> list[Element]:
    """Return the dots of the means, each with its day in words."""
    radius = SMALL_DOT_RADIUS if len(panel.days) > MANY_DAYS else DOT_RADIUS
    return [
        element(
            "circle",
            title(day_words(day)),
            cx=panel.x(day.on),
            cy=panel.y(mean),
            r=radius,
            fill=NAVY,
            class_="day",
            data_on=str(day.on),
        )
        for day, (_, mean, _) in zip(panel.days, panel.values, strict=True)
    ]


def _dates(panel: _Panel) -> list[Element]:
    first, count = panel.span.since, panel.span.count
    step = next((each for each in DATE_STEPS if count / each <= MOST_DATES), DATE_STEPS[-1])
    made = []
    for index in range(0, count, step):
        day = first + timedelta(days=index)
        x = panel.x(day)
        made.append(path(f"M{x:.2f} {PANEL_HEIGHT}v5", stroke=LINE))
        made.append(_label(str(day), x, PANEL_HEIGHT + 6 + SMALL_SIZE, text_anchor="middle"))
    return made


def _label(words: str, x: float, y: float, **attributes: str) -> Element:
    return text(words, x, y, SMALL_SIZE, class_="ink", **attributes)


def _meanings() -> Block:
    """Return what dots, bars, lines and the band mean."""
    middle = SAMPLE / 2

    def sample(*drawn: Element) -> Block:
        return Block(SAMPLE, [box(0, 0, SAMPLE, SAMPLE, fill=WHITE, stroke=LINE), *drawn])

    line = f"M0 {middle}H{SAMPLE}"
    return in_lines(
        "",
        [
            (
                sample(element("circle", cx=middle, cy=middle, r=DOT_RADIUS, fill=NAVY)),
                "mean of the day",
            ),
            (
                sample(path(f"M{middle} 2V{SAMPLE - 2}", stroke=TEAL, stroke_width=BAR_WIDTH)),
                "its lowest to highest reading",
            ),
            (sample(path(line, stroke=INK, stroke_dasharray=DASHES)), "target"),
            (sample(box(0, 0, SAMPLE, SAMPLE, fill=ACCEPTED.fill)), "accepted humidity"),
        ],
        WIDTH,
    )
