"""By what a number was found, as it stands beside the number in an answer."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Formula:
    """A formula's or a method's name, and where it is published."""

    name: str
    source: str
