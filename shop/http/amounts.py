"""How amounts and quantities are written in answers: decimal numbers in strings, never floats."""

from decimal import Decimal
from typing import Any, ClassVar

from django.conf import settings
from rest_framework import serializers

from shop.rules.money import minor_units, rounded
from shop.rules.quantities import plain


class AmountField(serializers.DecimalField):
    """An amount in the shop's currency, written with the decimals that the currency has."""

    def __init__(self, **options: Any) -> None:
        super().__init__(max_digits=14, decimal_places=3, **options)

    def to_representation(self, value: Any) -> str:
        """Return the amount as text."""
        return f"{rounded(Decimal(value), minor_units(settings.CURRENCY)):f}"


class AmountInputField(serializers.DecimalField):
    """An amount that is not negative, with no more decimals than the shop's currency has."""

    default_error_messages: ClassVar = {"too_fine": "{currency} has {decimals} decimals."}

    def __init__(self, *, min_value: Decimal | int = 0, **options: Any) -> None:
        super().__init__(max_digits=14, decimal_places=3, min_value=min_value, **options)

    def to_internal_value(self, data: Any) -> Decimal:
        """Return the amount.

        Raises:
            ValidationError: it is none, or has decimals that the currency does not have.
        """
        amount: Decimal = super().to_internal_value(data)
        decimals = minor_units(settings.CURRENCY)
        if amount != rounded(amount, decimals):
            self.fail("too_fine", currency=settings.CURRENCY, decimals=decimals)
        return amount


class CurrencyField(serializers.CharField):
    """The currency of what is sent, which is the shop's; leaving it out says the same."""

    default_error_messages: ClassVar = {
        "other_currency": "The shop keeps its books in {currency}; convert the amounts first."
    }

    def __init__(self) -> None:
        super().__init__(required=False, max_length=3)

    def to_internal_value(self, data: Any) -> str:
        """Return the currency.

        Raises:
            ValidationError: it is another than the shop's.
        """
        currency = super().to_internal_value(data)
        if currency != settings.CURRENCY:
            self.fail("other_currency", currency=settings.CURRENCY)
        return currency


class PriceField(serializers.DecimalField):
    """A price of one unit, which may have more decimals than the currency, but never fewer."""

    def __init__(self, **options: Any) -> None:
        super().__init__(max_digits=14, decimal_places=4, **options)

    def to_representation(self, value: Any) -> str:
        """Return the price as text."""
        price = Decimal(value)
        shortest = rounded(price, minor_units(settings.CURRENCY))
        return f"{shortest:f}" if shortest == price else plain(price)


class QuantityField(serializers.DecimalField):
    """A quantity in a part's unit, written without the zeros that say nothing."""

    def __init__(self, **options: Any) -> None:
        super().__init__(max_digits=14, decimal_places=3, **options)

    def to_representation(self, value: Any) -> str:
        """Return the quantity as text."""
        return plain(Decimal(value))


class RoundedQuantityField(QuantityField):
    """A number such as minutes, written to so many decimal places."""

    def __init__(self, *, places: int = 1, **options: Any) -> None:
        super().__init__(**options)
        self.places = places

    def to_representation(self, value: Any) -> str:
        """Return the number as text."""
        return super().to_representation(round(Decimal(value), self.places))
