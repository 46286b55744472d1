"""Options that the client may take or leave, and what follows from those that are taken."""

from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from billing.models import Quote
from shop.models import Part, Place, ShopProfile, Site, TaxCategory
from tests.billing.api.test_invoices import drafted, issued
from tests.billing.api.test_jobs import work
from tests.billing.api.test_quotes import at, quoted, refused
from tests.factories.diagnostics import CauseFactory, RemedyPartFactory, SetUpFactory
from tests.factories.shop import TaxRateFactory
from tests.factories.world import main_shelf, stock

FELT = {"title": "New felt", "remedies": ["felt"]}
CLEAN = {"remedies": ["clean"], "is_default": True}


@pytest.fixture
def wishes(workshop):
    """Three tight flanges, felt that could be renewed, and an action that could be cleaned."""
    return with_wishes(workshop)


def with_wishes(workshop):
    workshop.find([60, 61, 62])
    deeper = SetUpFactory(
        code="stack-off",
        name="Stack off",
        depth=4,
        minutes_low=25,
        minutes_likely=35,
        minutes_high=45,
    )
    felt = RemedyPartFactory(
        remedy__code="felt",
        remedy__name="Renew the felt",
        remedy__charged_per="instrument",
        remedy__set_up=deeper,
        remedy__minutes_low=30,
        remedy__minutes_likely=30,
        remedy__minutes_high=30,
        part__code="felt-strip",
        part__price=10,
        part__tax_category=TaxCategory.objects.get(),
        quantity=4,
    )
    stock(felt.part, 3, Decimal(2))
    clean = CauseFactory(
        code="dust",
        remedy__code="clean",
        remedy__name="Clean the action",
        remedy__charged_per="instrument",
        remedy__set_up=workshop.repin.set_up,
        remedy__minutes_low=12,
        remedy__minutes_likely=12,
        remedy__minutes_high=12,
    )
    workshop.find([63], cause=CauseFactory(code="worn-felt", remedy=felt.remedy))
    workshop.find([64], cause=clean)
    return workshop


def taxed(percent="19"):
    ShopProfile.objects.update(
        is_tax_registered=True, tax_number="XX 1", country="GB", deposit_percent=50
    )
    Site.objects.update(country="GB")
    TaxRateFactory(category=TaxCategory.objects.get(), percent=percent)


def approved(caller, quote, **body):
    response = caller.post(f"/quotes/{quote['id']}/approve", {"approved_by": "H. Wick", **body})
    assert response.status_code == 200, response.content
    return response.json()


def test_options_stand_beside_the_firm_part_at_prices_of_their_own(technician, wishes):
    plain = quoted(technician, wishes, options=[FELT, CLEAN])

    # As without them: 19.80 set-up, 12.00 repinning, 1.20 pins, 25.00 travel.
    assert (plain["net_total"], [line["net_amount"] for line in plain["lines"]]) == (
        "58.00",
        ["19.80", "12.00", "1.20", "25.00"],
    )
    felt, clean = plain["options"]
    # 35 minutes of set-up are 15 more than the firm work's 20; half an hour; four strips.
    assert [(line["description"], line["net_amount"]) for line in felt["lines"]] == [
        ("Stack off", "15.00"),
        ("Renew the felt", "30.00"),
        (felt["lines"][2]["description"], "40.00"),
    ]
    assert (felt["title"], felt["gross_total"], felt["is_taken"]) == ("New felt", "85.00", False)
    # The action is out for the firm work already.
    assert [line["net_amount"] for line in clean["lines"]] == ["12.00"]
    assert (clean["title"], clean["is_default"]) == ("Clean the action", True)
    assert (plain["agreement"], plain["minutes_likely"]) == (None, "32")
    assert "felt-strip" not in {line["part"] for line in plain["bag_lines"]}
    assert at(main_shelf())["felt-strip"] == 3


def test_what_is_taken_is_agreed_packed_worked_on_and_invoiced(technician, office, wishes):
    taxed()
    quote = quoted(technician, wishes, options=[FELT, CLEAN])

    agreed = approved(technician, quote, options=[1])

    # 58.00 and 85.00 before tax; 19 % of each is 11.02 and 16.15.
    assert (agreed["payable_total"], agreed["agreement"]["payable_total"]) == ("69.02", "170.17")
    assert agreed["agreement"]["net_total"] == "143.00"
    assert [option["is_taken"] for option in agreed["options"]] == [True, False]
    strip = next(line for line in agreed["bag_lines"] if line["part"] == "felt-strip")
    assert (strip["wanted_quantity"], strip["taken_quantity"], strip["short_quantity"]) == (
        "4",
        "3",
        "1",
    )
    assert at(Place.objects.get(pk=quote["bag"]))["felt-strip"] == 3

    path = f"/quotes/{quote['id']}"
    deposit = issued(office, drafted(office, quote, "deposit-invoice"))
    assert deposit["payable_total"] == "85.09"  # half of 170.17, halves up
    left_out = technician.post(f"{path}/bench-work", work(remedy="clean", note="E4"))
    refused(left_out, 409, "not-agreed")
    fitted = [{"part": "felt-strip", "quantity": "3"}]
    done = technician.post(f"{path}/bench-work", work(remedy="felt", fitted=fitted))
    assert done.status_code == 201, done.content
    refused(office.post(f"{path}/part-invoice", {"lines": [8]}), 409, "line-unknown")
    technician.post(f"{path}/complete")
    final = issued(office, drafted(office, quote))
    described = [line["description"] for line in final["lines"]]
    assert "Renew the felt" in described
    assert "Clean the action" not in described
    assert Decimal(deposit["payable_total"]) + Decimal(final["payable_total"]) == Decimal("170.17")


def test_what_is_agreed_is_paid_as_the_client_saw_it(technician, wishes):
    taxed("7.7")
    agreed = approved(technician, quoted(technician, wishes, options=[FELT, CLEAN]), options=[1])
    # 7.7 % of 58.00 is 4.47 and of 85.00 6.55, of both 11.01: a cent less than of each.
    totals = [agreed["agreement"][name] for name in ("tax_total", "rounding_amount")]
    assert totals == ["11.01", "0.01"]
    assert agreed["agreement"]["payable_total"] == "154.02"


def test_an_option_left_out_can_be_agreed_to_later(technician, wishes):
    quote = approved(technician, quoted(technician, wishes, options=[CLEAN]), options=[])
    path, done = f"/quotes/{quote['id']}", work(remedy="clean", note="E4")
    refused(technician.post(f"{path}/bench-work", done), 409, "not-agreed")
    added = technician.post(f"{path}/changes", {"remedy": "clean", "reason": "Dust after all."})
    refused(technician.post(f"{path}/bench-work", done), 409, "not-agreed")
    yes = f"/quote-changes/{added.json()['id']}/approve"
    assert technician.post(yes, {"approved_by": "H. Wick"}).status_code == 200
    assert technician.post(f"{path}/bench-work", done).status_code == 201


def test_options_taken_by_default_need_not_be_named_and_none_can_be(technician, wishes):
    first = quoted(technician, wishes, options=[FELT, CLEAN])
    assert [each["is_taken"] for each in approved(technician, first)["options"]] == [False, True]
    technician.post(f"/quotes/{first['id']}/withdraw")
    second = quoted(technician, wishes, options=[FELT, CLEAN])
    path = f"/quotes/{second['id']}/approve"
    problem = refused(
        technician.post(path, {"approved_by": "x", "options": [1, 3]}), 409, "option-unknown"
    )
    assert [error["pointer"] for error in problem["errors"]] == ["/options/1"]
    none = approved(technician, second, options=[])
    assert [each["is_taken"] for each in none["options"]] == [False, False]
    assert none["agreement"]["payable_total"] == second["payable_total"]
    assert none["agreement"]["taxes"] == second["taxes"]
    assert "not registered" in second["taxes"][0]["exemption_reason"]


def test_a_revision_takes_what_was_for_an_option_out_of_the_bag(technician, wishes):
    first = quoted(technician, wishes, options=[FELT])
    approved(technician, first, options=[1])
    second = quoted(technician, wishes, revise=True, options=[FELT])
    assert at(Place.objects.get(pk=second["bag"]))["felt-strip"] == 0
    assert at(main_shelf())["felt-strip"] == 3
    assert [each["is_taken"] for each in second["options"]] == [False]


@pytest.mark.parametrize(
    ("options", "status", "code", "pointer"),
    [
        ([{"remedies": ["tune"]}], 409, "option-unknown", "/options/0/remedies/0"),
        ([FELT, {"remedies": ["felt"]}], 400, "invalid-input", "/options"),
        ([{"remedies": []}], 400, "invalid-input", "/options/0/remedies"),
        ([{"remedies": [f"wish-{n}"]} for n in range(21)], 400, "invalid-input", "/options"),
        ([{"remedies": [f"wish-{n}"]} for n in range(20)], 409, "option-unknown", None),
        ([{"remedies": ["felt", "clean", "repin-hammer"]}], 409, "nothing-to-quote", None),
    ],
)
def test_options_that_cannot_be_are_pointed_at(technician, wishes, options, status, code, pointer):
    path = f"/examinations/{wishes.examination.pk}/quote"
    problem = refused(technician.post(path, {"options": options}), status, code)
    if pointer:
        assert [each["pointer"] for each in problem["errors"]] == [pointer]
    assert not Quote.objects.exists()


def test_a_part_of_both_the_firm_work_and_an_option_is_discounted_and_packed_for_both(
    technician, wishes
):
    strip = Part.objects.get(code="felt-strip")
    RemedyPartFactory(remedy=wishes.repin, part=strip, quantity=1)
    path = f"/examinations/{wishes.examination.pk}/quote"
    # Three flanges take a strip each at 10.00, and the option four.
    off = {"part": "felt-strip", "amount": "30.01", "reason": "Offcuts"}
    problem = refused(
        technician.post(path, {"options": [FELT], "discounts": [off]}),
        409,
        "allowance-beyond-lines",
    )
    assert [error["pointer"] for error in problem["errors"]] == ["/discounts/0/amount"]
    whole = {"percent": "10", "reason": "Old custom"}
    off["amount"] = "30.00"
    quote = quoted(technician, wishes, options=[FELT], discounts=[off], discount=whole)
    # A tenth of the firm 19.80, 12.00 for repinning and cleaning each, 1.20 and 25.00; the
    # option's 85.00 are 30.00 less.
    assert [each["amount"] for each in quote["allowances"]] == ["7.00"]
    assert [each["net_total"] for each in quote["options"]] == ["55.00"]
    bag = {line["part"]: line for line in approved(technician, quote, options=[1])["bag_lines"]}
    assert bag["felt-strip"]["wanted_quantity"] == "7"


def test_options_add_no_statements(technician, wishes):
    path = f"/examinations/{wishes.examination.pk}/quote"
    technician.post(path, {"options": [CLEAN]})
    with CaptureQueriesContext(connection) as one:
        technician.post(path, {"options": [CLEAN], "revise": True})
    with CaptureQueriesContext(connection) as two:
        assert technician.post(path, {"options": [CLEAN, FELT], "revise": True}).status_code == 201
    assert len(two) == len(one)
