"""Who stands on an invoice: the shop and the client, as they are when asked."""

from typing import Any

from billing.models import Invoice
from shop.models import ShopProfile

ADDRESS = ("street", "city", "postcode", "country")
SELLER = ("name", *ADDRESS, "email", "phone", "is_tax_registered", "tax_number", "iban")
BUYER = ("name", "contact_name", "email", "phone", *ADDRESS, "tax_number")


def seller_of(profile: ShopProfile) -> dict[str, Any]:
    """Return who the shop is."""
    return {name: getattr(profile, name) for name in SELLER}


def buyer_of(invoice: Invoice, profile: ShopProfile) -> dict[str, Any]:
    """Return who the client is, and in which language they read.

    Without an address, it is the place where the instrument stands.
    """
    client, corrected = invoice.client, invoice.corrects
    buyer = {name: getattr(client, name) for name in BUYER}
    buyer["language"] = client.language or profile.language
    quote = corrected.quote if corrected else invoice.quote
    if quote and not any(buyer[name] for name in ADDRESS):
        site = quote.examination.instrument.site
        buyer |= {name: getattr(site, name) for name in ADDRESS}
    return buyer
