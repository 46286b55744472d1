"""A packing list as text, for a terminal or a printer: a box to tick for each thing to take."""

import textwrap
from collections.abc import Iterable, Iterator
from decimal import Decimal

from billing.rules.packing import (
    PackedBag,
    PackedPart,
    PackingList,
    PianoVisited,
    PinsToTake,
    ShortPart,
    Stop,
)
from diagnostics.rules.check_words import percent_text
from shop.rules.quantities import plain

WIDTH = 80
BOX = "[ ] "


def packing_text(packing: PackingList, width: int = WIDTH) -> str:
    """Return the list as lines of at most `width` columns, ended by a line feed each.

    Words are never cut, so one that is longer than a line makes a longer line.
    """
    lines = [line for part in _parts(packing) for line in _wrapped(part, width)]
    return "\n".join(lines).rstrip() + "\n"


# A line's text, and what stands before it on its first line and on those that follow.
Line = tuple[str, str, str]
EMPTY: Line = ("", "", "")


def _wrapped(line: Line, width: int) -> list[str]:
    text, first, later = line
    return textwrap.wrap(
        " ".join(text.split()),
        width,
        initial_indent=first,
        subsequent_indent=later,
        break_long_words=False,
        break_on_hyphens=False,
    ) or [""]


def _plain(text: str, indent: int = 0) -> Line:
    return text, " " * indent, " " * (indent + 2)


def _ticked(text: str) -> Line:
    return text, BOX, " " * len(BOX)


def _parts(packing: PackingList) -> Iterator[Line]:
    days = f"{packing.starts_on} to {packing.ends_on}"
    yield _plain(f"Packing list: {packing.van_name}, {days}")
    yield EMPTY
    yield from _part("Visits", (line for stop in packing.stops for line in _stop(stop)))
    bags = (bag for stop in packing.stops for piano in stop.pianos for bag in piano.bags)
    once = {bag.bag: bag for bag in bags}
    yield from _part("Job bags to carry", (_bag(bag) for bag in once.values()))
    load = (part for part in packing.parts if part.to_load)
    yield from _part(f"To load from {packing.shelf_name}", map(_load, load))
    there = (part for part in packing.parts if part.needed and part.in_van)
    yield from _part("Needed, and in the van", (_plain(_of(p, p.in_van), 2) for p in there))
    short = (part for part in packing.parts if part.short)
    yield from _part("Short", (_plain(_of(part, part.short), 2) for part in short))
    yield from _part("Centre pins of sizes known at the bench", _pins(packing.pins))


def _part(title: str, lines: Iterable[Line]) -> Iterator[Line]:
    """Yield a part with its title, or nothing where there is nothing in it."""
    found = list(lines)
    if found:
        yield from (_plain(title.upper()), *found, EMPTY)


def _stop(stop: Stop) -> Iterator[Line]:
    time = f"{stop.starts_at:%Y-%m-%d %H:%M}-{stop.ends_at:%H:%M}"
    purpose = f": {stop.purpose}" if stop.purpose else ""
    yield _plain(f"{time}, {stop.technician_name}, {stop.client}, {stop.site}{purpose}", 2)
    for piano in stop.pianos:
        yield _plain(_piano(piano), 4)


def _piano(piano: PianoVisited) -> str:
    bags = [f"quote {bag.quote}, {_status(bag)}" for bag in piano.bags]
    return "; ".join([f"{piano.name}, {piano.action}", *(bags or ["no open quote"])])


def _status(bag: PackedBag) -> str:
    if bag.approval_chance == 1:
        return bag.status
    return f"{bag.status} ({100 * bag.approval_chance:.0f} % are approved)"


def _bag(bag: PackedBag) -> Line:
    short = ", ".join(_of(part, part.quantity) for part in bag.short)
    return _ticked(
        f"{bag.name} (quote {bag.quote}, {_status(bag)})" + (short and f"; lacks {short}")
    )


def _load(part: PackedPart) -> Line:
    return _ticked(_of(part, part.to_load))


def _of(part: PackedPart | ShortPart, quantity: Decimal) -> str:
    return f"{plain(quantity)} {part.unit}: {part.name}"


def _pins(pins: PinsToTake) -> Iterator[Line]:
    if not pins.centres:
        return
    least = "" if pins.is_exact else "at least "
    enough = f"these suffice with a chance of {least}{percent_text(pins.coverage)}"
    yield _plain(f"{pins.centres} centres; {enough}", 2)
    for size in pins.sizes:
        yield _plain(f"{size.count} of size {size.label} ({size.part or 'none kept'})", 2)
