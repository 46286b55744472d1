"""What stock is worth: the moving weighted average."""

from decimal import Decimal

from shop.rules.money import rounded


def value_taken(
    quantity: Decimal, held_quantity: Decimal, held_value: Decimal, decimals: int
) -> Decimal:
    """Return what `quantity` of a holding is worth, in money of `decimals` places.

    The last of a holding takes all the value left, so that value in is value out to the cent.

    Source: IAS 2 Inventories, paragraphs 25 and 27, weighted average cost.
    """
    if quantity >= held_quantity:
        return held_value
    return rounded(held_value * quantity / held_quantity, decimals)
