from dataclasses import replace
from decimal import Decimal

import pytest

from billing.rules.allowances import Adjusted, Adjustment, adjusted
from billing.rules.prices import FeePrice, PartPrice, PriceBook, Taxed, net_price
from billing.rules.pricing import net_when, offer_of, priced_lines
from billing.rules.totals import TaxKey
from diagnostics.rules.estimate import Minutes, PartNeed, RemedyUse, SetUp

TAX = TaxKey("S", Decimal(20))


def taxed(amount: str) -> Taxed:
    return Taxed(Decimal(amount), 1, TAX)


def minutes(low: int, likely: int, high: int) -> Minutes:
    return Minutes(Decimal(low), Decimal(likely), Decimal(high))


KEYS_OUT = SetUp("keys-out", "Keys out", 2, minutes(10, 15, 20))
ACTION_OUT = SetUp("action-out", "Action out", 3, minutes(15, 20, 25))
EASE = RemedyUse(1, "Ease bushing", KEYS_OUT, 10, 10, minutes(1, 2, 3))
REPIN = RemedyUse(2, "Repin", ACTION_OUT, 6, 6, minutes(4, 4, 4), (PartNeed(7, Decimal(2)),), 6)
BOOK = PriceBook(
    decimals=2,
    hour=taxed("60"),
    parts={
        7: PartPrice("Bushing cloth", "piece", taxed("0.25")),
        20: PartPrice("Pin 20", "piece", taxed("0.30")),
        21: PartPrice("Pin 21", "piece", taxed("0.40")),
    },
)
KIT = {20: 4, 21: 3}


def described(lines):
    return [(line.kind, line.description, str(line.quantity), str(line.net)) for line in lines]


def test_the_deepest_set_up_is_charged_once_whatever_is_done_behind_it():
    lines = priced_lines([EASE, REPIN], KIT, BOOK)
    assert described(lines)[:3] == [
        ("set_up", "Action out", "0.33", "19.80"),
        ("labour", "Ease bushing", "0.33", "19.80"),
        ("labour", "Repin", "0.40", "24.00"),
    ]


def test_getting_further_in_for_free_work_alone_is_free_too():
    free = replace(REPIN, free_because="Warranty")
    lines = priced_lines([EASE, free], KIT, BOOK)
    # The keys are out for the easing, 15 minutes; the action takes 5 minutes more, 0.08 hours.
    set_ups = [
        (line.description, line.discount, line.net) for line in lines if line.kind == "set_up"
    ]
    assert set_ups == [("Keys out", 0, 15), ("Action out", Decimal("4.80"), 0)]
    alone = [line for line in priced_lines([free], KIT, BOOK) if line.kind == "set_up"]
    assert [(line.discount, line.net) for line in alone] == [(Decimal("19.80"), 0)]
    deeper = replace(EASE, set_up=ACTION_OUT)
    assert described(priced_lines([deeper, free], KIT, BOOK))[0][3] == "19.80"


def test_pins_of_unknown_size_are_charged_one_a_centre_at_the_dearest_price_of_the_kit():
    lines = priced_lines([REPIN], KIT, BOOK)
    pins = lines[-1]
    assert (pins.quantity, pins.price.amount, pins.net) == (6, Decimal("0.40"), Decimal("2.40"))


def test_parts_are_charged_for_every_note_the_remedy_is_done_on():
    cloth = priced_lines([REPIN], KIT, BOOK)[2]
    assert (cloth.part_id, cloth.quantity, cloth.net) == (7, 12, Decimal("3.00"))


def test_a_job_below_the_minimum_is_made_up_to_it():
    book = replace(
        BOOK,
        fees=(FeePrice("Travel", taxed("25")),),
        minimum=FeePrice("Least that a job costs", taxed("90")),
    )
    lines = priced_lines([EASE], {}, book)
    assert described(lines)[-2:] == [
        ("fee", "Travel", "1", "25.00"),
        ("minimum", "Least that a job costs", "1", "30.20"),
    ]
    assert sum(line.net for line in lines) == 90


def test_a_job_above_the_minimum_is_left_alone():
    book = replace(BOOK, minimum=FeePrice("Least", taxed("10")))
    assert "minimum" not in [line.kind for line in priced_lines([EASE], {}, book)]


def test_a_line_is_discounted_by_a_percentage_or_an_amount():
    off = {
        ("labour", 1): Adjustment("Old custom", percent=Decimal(10)),
        ("part", 7): Adjustment("Offcuts", amount=Decimal("0.50")),
    }
    lines = priced_lines([EASE, REPIN], {}, replace(BOOK, discounts=off))
    # EN 16931-1, BT-131 and BT-136: 10 % of 19.80 is 1.98, and 0.50 of 3.00 leaves 2.50.
    assert [(line.key, line.discount, line.net) for line in lines if line.discount] == [
        (("labour", 1), Decimal("1.98"), Decimal("17.82")),
        (("part", 7), Decimal("0.50"), Decimal("2.50")),
    ]
    book = replace(BOOK, discounts={("labour", 1): Adjustment("", amount=Decimal(15))})
    # 10 minutes of set-up, and 10 of work come to less than the discount.
    assert net_when(priced_lines([EASE], {}, book), book, "low") == Decimal("10.20")


def test_the_discount_of_the_whole_is_shared_by_tax_and_spares_the_minimum():
    two = replace(
        BOOK,
        hour=Taxed(Decimal(60), 2, TaxKey("S", Decimal(5))),
        fees=(FeePrice("Travel", taxed("25")),),
        minimum=FeePrice("Least", taxed("60")),
        discount=Adjustment("Old custom", percent=Decimal(10)),
    )
    offer = offer_of(priced_lines([EASE], {}, two), two)
    # 34.80 of work and 25.00 of travel less a tenth of each is 53.82, so that 6.18 are missing.
    assert [(row.key.percent, row.base, row.amount) for row in offer.allowances] == [
        (5, Decimal("34.80"), Decimal("3.48")),
        (20, Decimal("25.00"), Decimal("2.50")),
    ]
    assert (offer.lines[-1].net, offer.totals.net) == (Decimal("6.18"), 60)
    amount = replace(two, minimum=None, discount=Adjustment("Old custom", amount=Decimal(6)))
    offer = offer_of(priced_lines([EASE], {}, amount), amount)
    # 6.00 shared as 34.80 is to 25.00.
    assert [row.amount for row in offer.allowances] == [Decimal("3.49"), Decimal("2.51")]
    assert net_when(offer.lines, amount, "low") == Decimal("39.40")


def test_a_percentage_has_no_row_for_a_rate_at_which_it_comes_to_nothing():
    little, much = TaxKey("S", Decimal(5)), TAX
    rows = adjusted(
        Adjustment("Old custom", percent=Decimal(10)),
        {little: Decimal("0.04"), much: Decimal("40.00")},
        2,
    )
    assert rows == [Adjusted(much, Decimal("4.00"), Decimal("40.00"))]


@pytest.mark.parametrize(
    ("minutes_of", "net"),
    [("low", "20.40"), ("likely", "34.80"), ("high", "49.80")],
)
def test_the_range_is_the_price_if_every_estimate_ran_low_or_high(minutes_of, net):
    # 20, 35 and 50 minutes at 60 an hour, hours rounded to hundredths line by line.
    assert net_when(priced_lines([EASE], {}, BOOK), BOOK, minutes_of) == Decimal(net)


def test_the_range_never_falls_below_the_minimum():
    book = replace(BOOK, minimum=FeePrice("Least", taxed("40")))
    lines = priced_lines([EASE], {}, book)
    assert net_when(lines, book, "low") == 40


@pytest.mark.parametrize(
    ("price", "percent", "net"),
    [
        # The VAT fraction of 20 % is 1/6, that of 5 % is 1/21. Source: HMRC, VAT Notice 700.
        ("120.00", "20", "100.0000"),
        ("21.00", "5", "20.0000"),
        ("6.00", "20", "5.0000"),
        # By long division: 10 / 1.19 = 8.40336...
        ("10.00", "19", "8.4034"),
        ("10.00", "0", "10.0000"),
    ],
)
def test_a_price_with_tax_is_less_without(price, percent, net):
    assert net_price(Decimal(price), Decimal(percent)) == Decimal(net)
