"""The picture of a part's stock, demand and forecast, week by week.

Stock stands above with the reorder point, demand below with what was forecast of it. Colours are
the page's, by the names of classes.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from diagnostics.rules.pictures.elements import (
    Element,
    box,
    element,
    moved,
    number,
    path,
    picture,
    text,
    title,
)

LEFT, WIDTH, RIGHT = 70.0, 800.0, 20.0
HEIGHT, BETWEEN, TOP, BOTTOM = 160.0, 46.0, 30.0, 40.0
SIZE = 14.0
MOST_TICKS, MOST_DATES = 4, 8
WEEKS_AHEAD = 8
TICK_STEPS = (1, 2, 5, 10)
BAR_SHARE = 0.7


@dataclass(frozen=True)
class StockWeeks:
    """Weeks of a part, one or more, oldest first, in its `unit`.

    `held` is what there was at the end of each; `forecasts` were made before each, and the last is
    of the weeks to come.
    """

    name: str
    unit: str
    first_week: date
    held: Sequence[float]
    demand: Sequence[float]
    forecasts: Sequence[float]
    reorder_point: float

    @property
    def count(self) -> int:
        """How many weeks are shown, those to come included."""
        return len(self.demand) + WEEKS_AHEAD


@dataclass(frozen=True)
class _Scale:
    """Round ticks from nothing to the highest value, and where a value stands."""

    highest: float
    step: float

    def y(self, value: float) -> float:
        return HEIGHT * (1 - value / self.highest)

    def ticks(self) -> list[float]:
        return [index * self.step for index in range(round(self.highest / self.step) + 1)]


def stock_svg(weeks: StockWeeks) -> str:
    """Return the picture as an SVG document."""
    step = WIDTH / weeks.count
    panels = [
        _panel(f"Stock, {weeks.unit}", _stock(weeks, step), weeks, TOP),
        _panel(f"Asked for a week, {weeks.unit}", _demand(weeks, step), weeks, _second()),
    ]
    height = _second() + HEIGHT + BOTTOM
    heading = f"{weeks.name}: stock, demand and forecast"
    body = [*panels, *_dates(weeks, step)]
    return picture(LEFT + WIDTH + RIGHT, height, heading, _told(weeks), body)


def _second() -> float:
    return TOP + HEIGHT + BETWEEN


def _told(weeks: StockWeeks) -> list[str]:
    asked, forecast = number(sum(weeks.demand)), number(weeks.forecasts[-1])
    return [
        f"{len(weeks.demand)} weeks from {weeks.first_week}.",
        f"Held at the end: {number(weeks.held[-1])}; reorder point {number(weeks.reorder_point)}.",
        f"Asked for in all: {asked}; forecast {forecast} a week.",
    ]


def _scale(values: Sequence[float]) -> _Scale:
    most = max([*values, 1.0])
    power = 10 ** math.floor(math.log10(most / MOST_TICKS))
    step = next(power * each for each in TICK_STEPS if most / (power * each) <= MOST_TICKS)
    return _Scale(math.ceil(most / step) * step, step)


def _panel(
    name: str, drawn: tuple[_Scale, list[Element]], weeks: StockWeeks, top: float
) -> Element:
    scale, inside = drawn
    made = [text(name, 0, -9, SIZE, class_="ink", font_weight="bold")]
    for tick in scale.ticks():
        y = scale.y(tick)
        made.append(path(f"M0 {y:.2f}h{number(WIDTH)}", class_="grid"))
        label = f"{round(tick, 6):g}"
        made.append(text(label, -8, y + SIZE / 3, SIZE, class_="ink", text_anchor="end"))
    now = WIDTH * len(weeks.demand) / weeks.count
    made.append(path(f"M{now:.2f} 0v{number(HEIGHT)}", class_="now"))
    return element("g", *made, *inside, transform=moved(LEFT, top))


def _stock(weeks: StockWeeks, step: float) -> tuple[_Scale, list[Element]]:
    scale = _scale([*weeks.held, weeks.reorder_point])
    point = scale.y(weeks.reorder_point)
    made = [path(f"M0 {point:.2f}h{number(WIDTH)}", class_="point")]
    # Level through each week, which ends with what was held then.
    steps = [
        f"{'L' if index else 'M'}{index * step:.2f} {scale.y(held):.2f}h{step:.2f}"
        for index, held in enumerate(weeks.held)
    ]
    return scale, [*made, path("".join(steps), class_="stock")]


def _demand(weeks: StockWeeks, step: float) -> tuple[_Scale, list[Element]]:
    scale = _scale([*weeks.demand, *weeks.forecasts])
    made = []
    for index, asked in enumerate(weeks.demand):
        if asked > 0:
            monday = weeks.first_week + timedelta(weeks=index)
            x, y = (index + (1 - BAR_SHARE) / 2) * step, scale.y(asked)
            bar = box(x, y, BAR_SHARE * step, HEIGHT - y, class_="demand")
            bar.append(title(f"Week of {monday}: {number(asked)} {weeks.unit}"))
            made.append(bar)
    ahead = [*weeks.forecasts, *[weeks.forecasts[-1]] * (WEEKS_AHEAD - 1)]
    line = "".join(
        f"{'L' if index else 'M'}{(index + 0.5) * step:.2f} {scale.y(forecast):.2f}"
        for index, forecast in enumerate(ahead)
    )
    return scale, [*made, path(line, class_="forecast")]


def _dates(weeks: StockWeeks, step: float) -> list[Element]:
    every = math.ceil(weeks.count / MOST_DATES)
    y = _second() + HEIGHT + SIZE + 8
    return [
        text(
            str(weeks.first_week + timedelta(weeks=index)),
            LEFT + index * step,
            y,
            SIZE,
            class_="ink",
        )
        for index in range(0, weeks.count - every // 2, every)
    ]
