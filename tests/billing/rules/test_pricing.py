from dataclasses import replace
from decimal import Decimal

import pytest

from billing.rules.pricing import (
    FeePrice,
    PartPrice,
    PriceBook,
    Taxed,
    net_price,
    net_when,
    priced_lines,
)
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


def test_a_discount_is_taken_from_every_line():
    lines = priced_lines([EASE], {}, replace(BOOK, discount_percent=Decimal(10)))
    assert [(line.discount, line.net) for line in lines] == [
        (Decimal("1.50"), Decimal("13.50")),
        (Decimal("1.98"), Decimal("17.82")),
    ]


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
