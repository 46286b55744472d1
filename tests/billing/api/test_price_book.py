"""Which prices and taxes a quote takes: those of its day and of where the work is done."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from billing.models import Fee, LabourRate
from shop.models import ShopProfile, Site, TaxCategory
from tests.billing.api.test_quotes import quoted, refused
from tests.factories.billing import FeeFactory
from tests.factories.shop import PartPriceFactory, TaxRateFactory


@pytest.fixture
def registered(workshop):
    """The workshop of a shop that charges tax, at work in Fenland, a region of its own country."""
    ShopProfile.objects.update(is_tax_registered=True, tax_number="QX 123", country="QX")
    Site.objects.update(country="", region="Fenland")
    workshop.find([60])
    return workshop


def prices(quote):
    return {line["description"]: line["unit_price"] for line in quote["lines"]}


def test_a_quote_takes_the_prices_of_its_day(technician, workshop):
    today = timezone.localdate()
    tomorrow = today + timedelta(days=1)
    Fee.objects.update(valid_until=today)
    FeeFactory(name="Coming", amount=30, valid_from=today, valid_until=tomorrow)
    FeeFactory(name="Coming soon", amount=90, valid_from=tomorrow)
    for later, price in ((-9, "0.45"), (0, "0.55"), (1, "0.95")):
        day = today + timedelta(days=later)
        PartPriceFactory(part=workshop.pins["20.5"], price=Decimal(price), valid_from=day)
    workshop.find([60])

    # The dearest pin of the kit: one has a dated price today, the others those they came with.
    found = prices(quoted(technician, workshop))
    assert found["Centre pins, sizes as found at the bench"] == "0.55"
    assert found["Coming"] == "30.00"


@pytest.mark.parametrize(
    ("places", "percent"),
    [
        ([("", ""), ("QX", ""), ("QX", "Fenland")], "3"),
        ([("", ""), ("QX", ""), ("QX", "Uplands")], "2"),
        ([("", ""), ("QY", "")], "1"),
    ],
    ids=["its region's", "its country's", "the general one"],
)
def test_the_rate_of_tax_is_that_of_where_the_work_is_done(technician, registered, places, percent):
    category = TaxCategory.objects.get(code="standard")
    for number, (country, region) in enumerate(places, start=1):
        TaxRateFactory(category=category, percent=number, country=country, region=region)
    (tax,) = quoted(technician, registered)["taxes"]
    assert tax["tax_percent"] == percent


def test_where_no_rate_holds_the_quote_is_refused(technician, registered):
    TaxRateFactory(category=TaxCategory.objects.get(code="standard"), country="QY")
    path = f"/examinations/{registered.examination.pk}/quote"
    refused(technician.post(path), 409, "tax-rate-missing")


def test_prices_with_tax_are_quoted_without_and_come_to_the_same(technician, registered):
    TaxRateFactory(category=TaxCategory.objects.get(code="standard"), percent=20)
    ShopProfile.objects.update(prices_include_tax=True)
    LabourRate.objects.update(per_hour=72)
    Fee.objects.update(amount=30)
    standard = {"tax_category": TaxCategory.objects.get(code="standard")}
    FeeFactory(kind="minimum", name="At least", amount=120, **standard)

    quote = quoted(technician, registered)

    # At 20 % a sixth of each price is tax (HMRC, VAT Notice 700, the VAT fraction): 60 an hour,
    # 25 for coming, and 100 at least, of which 0.4 hours and a pin leave the rest.
    found = prices(quote)
    assert (found["Action out"], found["Travel"]) == ("60.00", "25.00")
    assert (quote["net_total"], quote["gross_total"]) == ("100.00", "120.00")


def test_prices_with_tax_of_a_shop_that_charges_none_stay(technician, workshop):
    ShopProfile.objects.update(prices_include_tax=True)
    workshop.find([60])
    assert prices(quoted(technician, workshop))["Travel"] == "25.00"
