"""How quantities are written and rounded."""

from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal

THOUSANDTH = Decimal("0.001")


def plain(quantity: Decimal) -> str:
    """Return a number without the zeros at its end that say nothing: 19.000 as 19."""
    return f"{quantity.normalize():f}"


def thousandths(number: float | Decimal) -> Decimal:
    """Return what statistics found, or a product of quantities, as a quantity of three places."""
    return Decimal(number).quantize(THOUSANDTH, ROUND_HALF_UP)


def rounded_up(quantity: Decimal, *, whole: bool) -> Decimal:
    """Return `quantity` in units that exist: whole ones, or else thousandths."""
    return quantity.quantize(Decimal(1) if whole else THOUSANDTH, ROUND_CEILING)
