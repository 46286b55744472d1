"""Who stands on a document: the shop and the client, as they are when asked."""

from typing import Any

from billing.models import Invoice
from shop.models import Client, ShopProfile, Site

ADDRESS = ("street", "city", "postcode", "country")
SELLER = ("name", *ADDRESS, "email", "phone", "is_tax_registered", "tax_number", "iban")
BUYER = ("name", "contact_name", "email", "phone", *ADDRESS, "tax_number")


def seller_of(profile: ShopProfile) -> dict[str, Any]:
    """Return who the shop is."""
    return {name: getattr(profile, name) for name in SELLER}


def buyer_of(invoice: Invoice, profile: ShopProfile) -> dict[str, Any]:
    """Return who the client of an invoice is, and in which language they read."""
    corrected = invoice.corrects
    quote = corrected.quote if corrected else invoice.quote
    site = quote.examination.instrument.site if quote else None
    return client_of(invoice.client, profile, site)


def client_of(client: Client, profile: ShopProfile, site: Site | None = None) -> dict[str, Any]:
    """Return who a client is, and in which language they read.

    Without an address, it is that of the site, where the instrument stands.
    """
    party = {name: getattr(client, name) for name in BUYER}
    party["language"] = client.language or profile.language
    if site and not any(party[name] for name in ADDRESS):
        party |= {name: getattr(site, name) for name in ADDRESS}
    return party
