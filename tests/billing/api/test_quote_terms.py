"""Discounts, deposits, validity and terms of quotes, and what invoices take over of them."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from billing.models import Quote
from shop.models import ShopProfile
from tests.billing.api.test_invoices import completed, drafted, issued
from tests.billing.api.test_quotes import quoted, refused

DISCOUNTS = [
    {"remedy": "repin-hammer", "percent": "25", "reason": "School rate"},
    {"fee": "travel", "amount": "5", "reason": "On the way"},
]


def nets(document):
    return [(line["discount_amount"], line["net_amount"]) for line in document["lines"]]


def test_lines_and_the_whole_are_discounted_for_a_reason(technician, office, workshop):
    workshop.find([60, 61, 62])
    whole = {"percent": "10", "reason": "Old custom"}
    quote = quoted(technician, workshop, approve=True, discounts=DISCOUNTS, discount=whole)

    # 19.80 set-up; 12.00 repinning less a quarter; 1.20 pins; 25.00 travel less 5.00: 50.00.
    assert nets(quote) == [
        ("0.00", "19.80"),
        ("3.00", "9.00"),
        ("0.00", "1.20"),
        ("5.00", "20.00"),
    ]
    repin, travel = quote["lines"][1], quote["lines"][3]
    assert (repin["discount_percent"], repin["discount_reason"]) == ("25", "School rate")
    assert (travel["discount_percent"], travel["discount_reason"]) == (None, "On the way")
    (allowance,) = quote["allowances"]
    assert (allowance["reason"], allowance["base_amount"], allowance["amount"]) == (
        "Old custom",
        "50.00",
        "5.00",
    )
    assert (quote["line_total"], quote["allowance_total"], quote["net_total"]) == (
        "50.00",
        "5.00",
        "45.00",
    )

    problem = refused(
        office.post(f"/quotes/{quote['id']}/part-invoice", {"lines": [1, 2, 4]}),
        409,
        "allowance-beyond-lines",
    )
    assert "last invoice" in problem["detail"]
    completed(technician, quote)
    invoice = issued(office, drafted(office, quote))
    assert nets(invoice) == nets(quote)
    assert invoice["lines"][1]["discount_reason"] == "School rate"
    assert invoice["allowances"] == quote["allowances"]
    assert invoice["payable_total"] == quote["payable_total"]


@pytest.mark.parametrize(
    ("body", "code", "pointer"),
    [
        (
            {"discounts": [{"remedy": "tune", "percent": "5", "reason": "x"}]},
            "discount-of-nothing",
            "/discounts/0",
        ),
        (
            {"discounts": [*DISCOUNTS, {"part": "pin-20", "percent": "5", "reason": "x"}]},
            "discount-of-nothing",
            "/discounts/2",
        ),
        (
            {"discounts": [{"fee": "travel", "amount": "25.01", "reason": "x"}]},
            "allowance-beyond-lines",
            "/discounts/0/amount",
        ),
        (
            {"discount": {"amount": "58.01", "reason": "x"}},
            "allowance-beyond-lines",
            "/discount/amount",
        ),
        ({"deposit": {"amount": "58.01"}}, "deposit-beyond-rest", "/deposit/amount"),
    ],
)
def test_no_more_is_taken_off_or_asked_for_than_there_is(technician, workshop, body, code, pointer):
    workshop.find([60, 61, 62])
    path = f"/examinations/{workshop.examination.pk}/quote"
    problem = refused(technician.post(path, body), 409, code)
    assert [error["pointer"] for error in problem["errors"]] == [pointer]
    assert not Quote.objects.exists()


@pytest.mark.parametrize(
    "body",
    [
        {"deposit": {"amount": "58.00"}},
        {"discount": {"amount": "58.00", "reason": "Gift"}},
        {"discounts": [{"remedy": "repin-hammer", "amount": "12.00", "reason": "Gift"}]},
    ],
)
def test_all_that_there_is_may_be_taken_off_or_asked_for(technician, workshop, body):
    workshop.find([60, 61, 62])
    assert quoted(technician, workshop, **body)


def test_a_quote_comes_with_the_terms_of_the_shop_or_its_own(technician, workshop):
    ShopProfile.objects.update(quote_terms="Half by Friday.", deposit_percent=30)
    workshop.find([60, 61, 62])
    first = quoted(technician, workshop)
    assert (first["terms"], first["deposit_percent"]) == ("Half by Friday.", "30")
    assert Decimal(first["deposit_amount"]) == Decimal("17.40")  # 30 % of 58.00
    own = {"deposit": {"amount": "20"}, "validity_days": 5, "terms": "Cash.\nNo cheques."}
    second = quoted(technician, workshop, revise=True, **own)
    assert (second["terms"], second["deposit_percent"]) == ("Cash.\nNo cheques.", None)
    assert second["deposit_amount"] == "20.00"
    last_day = timezone.localdate() + timedelta(days=5)
    assert second["valid_until"] == last_day.isoformat()
    third = quoted(technician, workshop, revise=True, deposit={"percent": "0"})
    assert (third["deposit_percent"], third["deposit_amount"]) == (None, "0.00")


def test_the_deposit_asked_for_is_invoiced_when_no_other_is_named(technician, office, workshop):
    workshop.find([60, 61, 62])
    asked = {"deposit": {"percent": "50"}, "approve": True}
    quote = quoted(technician, workshop, **asked)
    path = f"/quotes/{quote['id']}/deposit-invoice"
    first = issued(office, drafted(office, quote, "deposit-invoice", {"amount": "10"}))
    rest = issued(office, drafted(office, quote, "deposit-invoice"))
    assert (first["payable_total"], rest["payable_total"]) == ("10.00", "19.00")
    refused(office.post(path), 409, "no-deposit-asked")


def test_a_part_leaves_enough_to_take_the_deposits_off(technician, office, workshop):
    workshop.find([60, 61, 62])
    quote = quoted(technician, workshop, approve=True)
    deposit = issued(office, drafted(office, quote, "deposit-invoice", {"amount": "24.99"}))
    path = f"/quotes/{quote['id']}/part-invoice"
    # All of 58.00, and all but 19.80 of it.
    for lines in ([1, 2, 3, 4], [2, 3, 4]):
        refused(office.post(path, {"lines": lines}), 409, "deposit-beyond-rest")
    # All but the 25.00 for coming.
    part = issued(office, drafted(office, quote, "part-invoice", {"lines": [1, 2, 3]}))
    completed(technician, quote)
    last = issued(office, drafted(office, quote))
    paid = [invoice["payable_total"] for invoice in (deposit, part, last)]
    assert paid == ["24.99", "33.00", "0.01"]


@pytest.mark.parametrize(
    ("body", "status", "code"),
    [
        # ISO 4217: the euro has two decimals.
        ({"amount": "10.005"}, 400, "invalid-input"),
        ({"percent": "0.001"}, 409, "no-deposit-asked"),
        ({}, 409, "no-deposit-asked"),
    ],
)
def test_a_deposit_is_some_money_that_can_be_paid(technician, office, workshop, body, status, code):
    workshop.find([60])
    quote = quoted(technician, workshop, approve=True)
    refused(office.post(f"/quotes/{quote['id']}/deposit-invoice", body), status, code)


@pytest.mark.parametrize("name", ["deposit", "discount"])
def test_no_amount_of_a_quote_is_finer_than_the_currency(technician, workshop, name):
    workshop.find([60])
    path = f"/examinations/{workshop.examination.pk}/quote"
    reason = {"reason": "x"} if name == "discount" else {}
    problem = refused(
        technician.post(path, {name: {"amount": "1.005"} | reason}), 400, "invalid-input"
    )
    assert [(error["pointer"], error["code"]) for error in problem["errors"]] == [
        (f"/{name}/amount", "too-fine")
    ]
