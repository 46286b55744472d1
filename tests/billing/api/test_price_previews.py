"""The price book of a day, and what a change of it would make of past quotes."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from billing.models import Fee, LabourRate, Quote
from billing.models.prices import EVER
from shop.models import Part, PartPrice, ShopProfile, Site, TaxCategory
from tests.billing.api.test_quote_options import CLEAN, with_wishes
from tests.billing.api.test_quotes import quoted, refused
from tests.factories.billing import FeeFactory
from tests.factories.diagnostics import ExaminationFactory
from tests.factories.shop import PartPriceFactory, TaxRateFactory

PREVIEW = "/price-book/preview"


@pytest.fixture
def past(technician, workshop):
    """A quote of 0.4 hours at 60 after 20 minutes' set-up, three pins at 0.40, and travel at 25."""
    workshop.find([60, 61, 62])
    return quoted(technician, workshop)


def previewed(caller, **body):
    response = caller.post(PREVIEW, body)
    assert response.status_code == 200, response.content
    return response.json()


def test_the_price_book_shows_what_holds_on_a_day(technician, workshop):
    today = timezone.localdate()
    category = TaxCategory.objects.get(code="standard")
    TaxRateFactory(category=category, percent=Decimal("4.5"), country="QX", region="Fenland")
    TaxRateFactory(category=category, valid_until=today)
    Fee.objects.update(valid_until=today)
    FeeFactory(code="travel-now", amount=30, valid_from=today, tax_category=category, name="Coming")
    PartPriceFactory(part=workshop.pins["20"], price=Decimal("0.45"), valid_from=today)
    Part.objects.filter(pk=workshop.pins["21"].pk).update(is_active=False)

    now = technician.get("/price-book").json()
    before = technician.get(f"/price-book?on={today - timedelta(days=1)}").json()

    assert now["on"] == today.isoformat()
    assert (now["currency"], now["prices_include_tax"]) == ("EUR", False)
    assert (now["labour"]["code"], now["labour"]["per_hour"]) == ("hour", "60.00")
    assert [(fee["code"], fee["amount"]) for fee in now["fees"]] == [("travel-now", "30.00")]
    assert {part["code"]: part["price"] for part in now["parts"]} == {
        "pin-20": "0.45",
        "pin-20-5": "0.40",
        "pin-21-5": "0.40",
    }
    assert [(rate["region"], rate["percent"]) for rate in now["tax_rates"]] == [
        ("Fenland", "4.500")
    ]
    assert [fee["amount"] for fee in before["fees"]] == ["25.00"]
    assert before["parts"][0]["price"] == "0.40"
    assert len(before["tax_rates"]) == 2
    assert technician.get("/price-book?on=1999-12-31").json()["labour"] is None


def test_a_change_is_tried_on_past_quotes_and_changes_nothing(office, past):
    answer = previewed(
        office,
        labour={"percent": "10"},
        fees=[{"kind": "travel", "amount": "30"}],
        parts=[{"part": "pin-20", "amount": "0.60"}],
        all_parts={"percent": "50"},
    )

    # By hand: 0.33 and 0.20 hours at 60.00 and at 66.00; three pins at 0.40 and 0.60; 25 and 30.
    row = {
        "quoted_net": "58.00",
        "net_now": "58.00",
        "net_proposed": "66.78",
        "difference": "8.78",
    }
    made_at = Quote.objects.get().made_at
    (item,) = answer.pop("items")
    assert {name: item[name] for name in row} == row
    assert item["quote"] == past["id"]
    assert item["made_at"] == made_at.isoformat().replace("+00:00", "Z")
    # 8.78 of 58.00 is 15.138 %.
    on = timezone.localdate().isoformat()
    assert answer == {"on": on, "currency": "EUR", **row, "difference_percent": "15.138"}
    assert str(LabourRate.objects.get().per_hour) == "60.000"
    assert not PartPrice.objects.exists()


def test_what_was_quoted_today_is_the_same_at_the_prices_of_today(office, technician, workshop):
    PartPriceFactory(part=workshop.pins["21"], price=Decimal("0.90"), valid_from=EVER)
    quote = quoted(technician, with_wishes(workshop), options=[CLEAN])
    assert "0.90" in [line["unit_price"] for line in quote["lines"]]
    (row,) = previewed(office, all_parts={"percent": "100"})["items"]
    assert (row["quoted_net"], row["net_now"]) == (quote["line_total"], quote["line_total"])
    # Three pins at 0.90 and four strips of felt at 10.00.
    assert row["difference"] == "42.70"


def test_prices_that_moved_since_are_shown_apart_from_the_proposal(office, past):
    Fee.objects.update(amount=28)
    (row,) = previewed(office, labour={"amount": "60"})["items"]
    assert (row["quoted_net"], row["net_now"], row["difference"]) == ("58.00", "61.00", "0.00")


def test_prices_with_tax_are_tried_at_the_rate_of_each_place(office, past):
    ShopProfile.objects.update(
        is_tax_registered=True, tax_number="QX 1", prices_include_tax=True, country="QX"
    )
    Site.objects.update(region="Fenland")
    category = TaxCategory.objects.get(code="standard")
    TaxRateFactory(category=category, percent=20)
    TaxRateFactory(category=category, percent=5, country="QX", region="Fenland")
    (row,) = previewed(office, fees=[{"kind": "travel", "amount": "46.00"}])["items"]
    # A twenty-first of each price is tax (HMRC, VAT Notice 700, the VAT fraction of 5 %):
    # 21.00 more with tax is 20.00 without.
    assert row["difference"] == "20.00"


def test_the_sample_is_the_last_quotes_or_those_of_a_period(office, technician, workshop, past):
    workshop.examination = ExaminationFactory(instrument=workshop.examination.instrument)
    workshop.find([64])
    later = quoted(technician, workshop)

    def sampled(**sample):
        answer = previewed(office, labour={"percent": "1"}, **sample)
        return [row["quote"] for row in answer["items"]]

    today = timezone.localdate()
    assert sampled() == [later["id"], past["id"]]
    assert sampled(last_quotes=1) == [later["id"]]
    assert sampled(made_from=str(today), made_until=str(today)) == [later["id"], past["id"]]
    assert sampled(made_from=str(today + timedelta(days=1))) == []
    with CaptureQueriesContext(connection) as one:
        sampled(last_quotes=1)
    with CaptureQueriesContext(connection) as two:
        sampled(last_quotes=2)
    assert len(one) == len(two) <= 14


@pytest.mark.parametrize(
    ("body", "pointer", "code"),
    [
        ({"labour": {}}, "/labour", "one-of-two"),
        ({"labour": {"amount": "1", "percent": "1"}}, "/labour", "one-of-two"),
        ({"labour": {"percent": "-100.001"}}, "/labour/percent", "min-value"),
        ({"parts": [{"part": "harp", "percent": "1"}]}, "/parts/0/part", "unknown-part"),
        ({"parts": [{"part": "pin-20", "percent": "1"}] * 2}, "/parts/1/part", "named-twice"),
        ({"fees": [{"kind": "travel", "percent": "1"}] * 2}, "/fees/1/kind", "named-twice"),
        ({"last_quotes": 501}, "/last_quotes", "max-value"),
        ({"last_quotes": 1, "made_from": "2026-01-01"}, "", "two-samples"),
        ({"made_from": "2026-01-02", "made_until": "2026-01-01"}, "", "period-backwards"),
    ],
)
def test_a_proposal_that_makes_no_sense_is_refused(office, workshop, body, pointer, code):
    problem = refused(office.post(PREVIEW, body), 400, "invalid-input")
    assert [(error["pointer"], error["code"]) for error in problem["errors"]] == [(pointer, code)]


def test_a_fee_that_is_not_kept_has_no_price_to_change(office, past):
    body = {"fees": [{"kind": "inspection", "percent": "1"}]}
    refused(office.post(PREVIEW, body), 409, "fee-unknown")
