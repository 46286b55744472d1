"""An issued invoice as PDF, with its XML inside: read, set, and marked as Factur-X."""

import statistics
from decimal import Decimal

from django.db import transaction

from billing.actions.invoice_drafts import invoice_draft
from billing.actions.invoices import invoice_issue
from billing.models import Invoice, Quote
from billing.pages.invoices import invoice_pdf, invoices_on_paper
from shop.models import Logo, ShopProfile
from tests.billing.approved_quotes import approved_quote
from tests.factories.shop import LogoFactory, UserFactory
from tests.factories.world import NOW, TODAY
from tests.load.database import timed_ms

LINE = (Decimal("1.5"), Decimal(60), Decimal(10), "standard")


def measured_invoice(lines: int, rounds: int) -> tuple[float, float]:
    """Return the milliseconds of the first time in this process and the median of the others."""
    ShopProfile.objects.update(is_tax_registered=True, tax_number="DE123456789", country="DE")
    if not Logo.objects.exists():
        LogoFactory()
    issued = _issued(lines)

    def printed() -> bytes:
        found = invoices_on_paper().get(pk=issued.pk)
        return invoice_pdf(found, ShopProfile.objects.get())

    first_ms = timed_ms(printed)
    return first_ms, statistics.median(timed_ms(printed) for _ in range(rounds))


@transaction.atomic
def _issued(lines: int) -> Invoice:
    quote = approved_quote([LINE] * lines)
    Quote.objects.filter(pk=quote.pk).update(status="completed", completed_at=NOW)
    draft = invoice_draft(quote=quote, drafted_at=NOW, drafted_by=UserFactory())
    return invoice_issue(invoice=draft, issued_on=TODAY)
