"""Rounding of money to what a currency has."""

from decimal import ROUND_HALF_UP, Decimal

# Source: ISO 4217, list one, minor units other than 2 (from memory of the list).
WITHOUT_MINOR_UNIT = [
    *("BIF", "CLP", "DJF", "GNF", "ISK", "JPY", "KMF", "KRW"),
    *("PYG", "RWF", "UGX", "VND", "VUV", "XAF", "XOF", "XPF"),
]
IN_THOUSANDTHS = ["BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND"]
OTHER_MINOR_UNITS = dict.fromkeys(WITHOUT_MINOR_UNIT, 0) | dict.fromkeys(IN_THOUSANDTHS, 3)


def minor_units(currency: str) -> int:
    """Return how many decimals amounts in `currency`, an ISO 4217 code, have."""
    return OTHER_MINOR_UNITS.get(currency, 2)


def rounded(amount: Decimal, decimals: int) -> Decimal:
    """Return `amount` to `decimals` places, halves away from zero, as invoices round."""
    return amount.quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP)
