"""How quantities are written."""

from decimal import Decimal


def plain(quantity: Decimal) -> str:
    """Return a number without the zeros at its end that say nothing: 19.000 as 19."""
    return f"{quantity.normalize():f}"
