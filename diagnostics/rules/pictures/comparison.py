"""The picture of before and after: what was found, and under it what became of each fault."""

from collections import defaultdict
from dataclasses import replace

from diagnostics.rules.comparison import Change, Compared, Comparison, sentence
from diagnostics.rules.keyboard_words import (
    Faults,
    compared_words,
    comparison_words,
    compass_words,
    look_words,
    places_counted,
    places_named,
)
from diagnostics.rules.pictures.examination import (
    Signs,
    fault_entries,
    fault_signs,
    finding_bar,
    keys_of,
    width_of,
)
from diagnostics.rules.pictures.keys import Bar, keyboard
from diagnostics.rules.pictures.legend import (
    Entry,
    caption,
    legend,
    page,
    severities,
    whole_instrument,
)
from diagnostics.rules.pictures.signs import CHANGES


def comparison_svg(comparison: Comparison, faults: Faults, *, title: str) -> str:
    """Return the picture of two examinations.

    Above stands what was found first; below, each fault of either with what became of it, as severe
    as it is now, or as it was when it is gone.

    Raises:
        ValueError: a note is not on the keyboard, a fault is not in `faults`.
    """
    before, after = comparison.before, comparison.after
    signs = fault_signs([*before.found, *after.found], faults)
    width = width_of(before.compass)
    then = [finding_bar(found, before.compass, signs, faults) for found in before.found]
    now = [_change_bar(item, comparison, signs, faults) for item in comparison.items]
    changes = _change_entries(comparison)
    known = fault_entries([*before.found, *after.found], before.compass, signs)
    blocks = [
        caption(f"Before. {look_words(before)}"),
        keyboard(keys_of(before), then),
        *whole_instrument(then, width),
        caption(f"After. {look_words(after)}"),
        keyboard(keys_of(after), now),
        *whole_instrument(now, width),
        legend(changes, width),
        legend(known, width),
        severities(
            width, with_unseen=not all(look.has_looked_at(None) for look in (before, after))
        ),
    ]
    heading = f"{title}, {compass_words(before.compass)}"
    lines = [comparison_words(comparison), sentence(comparison)]
    return page(heading, lines, blocks, [*changes, *known], width=width)


def _change_bar(item: Compared, comparison: Comparison, signs: Signs, faults: Faults) -> Bar:
    sign = replace(CHANGES[item.change], letter=signs[item.fault].letter)
    severity = item.severity_after or item.severity_before or ""
    told = compared_words(item, comparison.before.compass, faults)
    return Bar(item.note_midi, sign, severity, told)


def _change_entries(comparison: Comparison) -> list[Entry]:
    places = defaultdict(list)
    for item in comparison.items:
        places[item.change].append(item.note_midi)
    compass = comparison.before.compass
    return [
        Entry(CHANGES[change], places_counted(notes), places_named(notes, compass))
        for change in Change
        if (notes := places[change])
    ]
