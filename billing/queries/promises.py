"""Exactly what a quote promised, as its tables keep it frozen."""

from billing.models import Quote, QuoteAllowance, QuoteLine, QuoteOption, QuoteTax
from billing.models.quotes import PROMISED
from billing.rules.promises import promise_text

# Which options are taken is the answer, not the promise.
OPTION = ("id", "position", "title", "is_default", "net_total", "tax_total", "gross_total")
ROWS = {
    "lines": QuoteLine.objects.order_by("position").values(),
    "options": QuoteOption.objects.order_by("position").values(*OPTION),
    "allowances": QuoteAllowance.objects.order_by("position").values(),
    "taxes": QuoteTax.objects.order_by("tax_code", "tax_percent").values(),
}


def promise_of(quote_id: int) -> str:
    """Return what a quote promised as one text: what no change may touch, and all its rows.

    Read from the database, never from a quote in memory: what is signed is what is stored.
    """
    promised = Quote.objects.values("id", *PROMISED).get(pk=quote_id)
    rows = {name: list(found.filter(quote=quote_id)) for name, found in ROWS.items()}
    return promise_text(promised | rows)
