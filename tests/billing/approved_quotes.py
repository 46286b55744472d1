"""Approved quotes of any lines, to be invoiced."""

from decimal import Decimal

from billing.models import Quote, QuoteLine, QuoteTax
from billing.rules.totals import Amount, TaxKey, line_amount, totals
from tests.factories.billing import QuoteFactory
from tests.factories.shop import ClientFactory, TaxCategoryFactory
from tests.factories.world import NOW, TODAY

# Invented rates of a place that has two, and what is exempt or rated at nought there.
TAXES = {
    "standard": TaxKey("S", Decimal(19)),
    "reduced": TaxKey("S", Decimal(7)),
    "zero": TaxKey("Z", Decimal(0)),
    "exempt": TaxKey("E", Decimal(0)),
}


def approved_quote(lines, *, terms="", **client):
    """Store an approved quote of lines given as quantity, price, discount and name of the tax."""
    place = {"country": "DE", "city": "Marsh End", "postcode": "01234", "street": "Eel Lane 1"}
    client = ClientFactory(**place | client)
    category = TaxCategoryFactory()
    rows, amounts = [], []
    for position, (quantity, price, discount, tax) in enumerate(lines, start=1):
        key, amount = TAXES[tax], line_amount(quantity, price, discount, 2)
        amounts.append(Amount(key, amount.net))
        rows.append(
            QuoteLine(
                position=position,
                kind="labour",
                description="Ease a key & <its> neighbour",
                quantity=quantity,
                unit="hour",
                unit_price=price,
                discount_amount=amount.discount,
                discount_percent=discount or None,
                discount_reason="Good custom" if discount else "",
                net_amount=amount.net,
                tax_category=category,
                tax_code=key.code,
                tax_percent=key.percent,
            )
        )
    found = totals(amounts, 2)
    quote = QuoteFactory(
        client=client,
        net_total=found.net,
        tax_total=found.tax,
        terms=terms,
        lines=[],
        taxes=[],
    )
    for row in rows:
        row.quote = quote
    QuoteLine.objects.bulk_create(rows)
    QuoteTax.objects.bulk_create(
        QuoteTax(
            quote=quote,
            tax_code=tax.key.code,
            tax_percent=tax.key.percent,
            taxable_amount=tax.taxable,
            tax_amount=tax.tax,
            exemption_reason="Lessons, by local law" if tax.key.code == "E" else "",
        )
        for tax in found.taxes
    )
    decided = {"decided_at": NOW, "decided_on": TODAY, "decided_by_name": "The head"}
    Quote.objects.filter(pk=quote.pk).update(status="approved", **decided)
    return Quote.objects.get(pk=quote.pk)
