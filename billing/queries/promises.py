"""Exactly what a quote promised, as its tables keep it frozen."""

from billing.models import Quote, QuoteAllowance, QuoteLine, QuoteTax
from billing.models.quotes import PROMISED
from billing.rules.promises import promise_text

ROWS = {
    "lines": QuoteLine.objects.order_by("position"),
    "allowances": QuoteAllowance.objects.order_by("position"),
    "taxes": QuoteTax.objects.order_by("tax_code", "tax_percent"),
}


def promise_of(quote_id: int) -> str:
    """Return what a quote promised as one text: what no change may touch, and all its rows.

    Read from the database, never from a quote in memory: what is signed is what is stored.
    """
    promised = Quote.objects.values("id", *PROMISED).get(pk=quote_id)
    rows = {name: list(found.filter(quote=quote_id).values()) for name, found in ROWS.items()}
    return promise_text(promised | rows)
