"""What the label of a part or place says to a scanner."""

import re
from enum import StrEnum
from typing import NamedTuple


class Labelled(StrEnum):
    """What bears labels."""

    PART = "part"
    PLACE = "place"


class Label(NamedTuple):
    """A part by its code, or a place, such as a job bag, by its number."""

    kind: Labelled
    key: str


LABEL_FORM = "part:[-A-Za-z0-9_]{1,60}|place:[0-9]{1,18}"


def label_text(label: Label) -> str:
    """Return the text that a label's symbol holds: `part:centre-pin-inch-20`, `place:17`."""
    return f"{label.kind}:{label.key}"


def label_read(text: str) -> Label:
    """Return what a scanned text is the label of; blanks and line ends around it do not count.

    Raises:
        ValueError: it is not the text of a label.
    """
    if not re.fullmatch(LABEL_FORM, text.strip()):
        raise ValueError("This is no label of the shop: part:<code> or place:<number>.")
    kind, _, key = text.strip().partition(":")
    return Label(Labelled(kind), key)
