from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from billing.rules.totals import Amount, TaxKey, TaxRounding, line_amount, totals

SIX = TaxKey("S", Decimal(6))
TWENTY_ONE = TaxKey("S", Decimal(21))

# Source: CEN/TC 434, worked example 1 published with EN 16931 (UBL syntax, invoice 12115118):
# quantity, price, tax, line net amount (BT-131).
EXAMPLE_1 = [
    (2, "9.95", SIX, "19.90"),
    (1, "9.85", SIX, "9.85"),
    (1, "8.29", SIX, "8.29"),
    (2, "7.23", SIX, "14.46"),
    (1, "35.00", SIX, "35.00"),
    (1, "35.00", SIX, "35.00"),
    (1, "10.65", SIX, "10.65"),
    (1, "1.55", SIX, "1.55"),
    (3, "4.79", SIX, "14.37"),
    (1, "8.29", SIX, "8.29"),
    (2, "8.29", SIX, "16.58"),
    (1, "9.95", SIX, "9.95"),
    (2, "1.65", SIX, "3.30"),
    (1, "10.80", TWENTY_ONE, "10.80"),
    (1, "3.90", SIX, "3.90"),
    (2, "3.80", TWENTY_ONE, "7.60"),
    (2, "4.67", TWENTY_ONE, "9.34"),
    (1, "18.63", TWENTY_ONE, "18.63"),
    (6, "17.02", SIX, "102.12"),
    (-6, "18.33", SIX, "-109.98"),
]


def test_the_published_example_comes_out_to_the_cent():
    lines = []
    for quantity, price, tax, net in EXAMPLE_1:
        amount = line_amount(Decimal(quantity), Decimal(price), Decimal(0), 2)
        assert amount.net == Decimal(net)
        lines.append(Amount(tax, amount.net))

    result = totals(lines, 2)

    assert [(tax.key, tax.taxable, tax.tax) for tax in result.taxes] == [
        (SIX, Decimal("183.23"), Decimal("10.99")),
        (TWENTY_ONE, Decimal("46.37"), Decimal("9.74")),
    ]
    assert result.net == Decimal("229.60")
    assert result.tax == Decimal("20.73")
    assert result.gross == Decimal("250.33")


def test_tax_is_rounded_once_for_each_rate_and_not_for_each_line():
    # Three lines of 0.10 at 5 % bear 0.015, which is 0.02; line by line it would be 0.03.
    lines = [Amount(TaxKey("S", Decimal(5)), Decimal("0.10"))] * 3
    assert totals(lines, 2).tax == Decimal("0.02")
    assert totals(lines, 2, tax_rounding=TaxRounding.LINE).tax == Decimal("0.03")


def test_allowances_and_charges_count_before_tax_at_their_own_rate():
    result = totals(
        [Amount(SIX, Decimal("100.00")), Amount(TWENTY_ONE, Decimal("50.00"))],
        2,
        allowances=[Amount(SIX, Decimal("10.00"))],
        charges=[Amount(TWENTY_ONE, Decimal("5.00"))],
    )
    assert (result.lines, result.allowances, result.charges) == (150, 10, 5)
    assert result.net == 145
    # 6 % of 90 and 21 % of 55.
    assert [tax.tax for tax in result.taxes] == [Decimal("5.40"), Decimal("11.55")]
    assert result.payable == result.gross == Decimal("161.95")


def test_a_promised_total_with_tax_is_what_is_to_be_paid():
    # Three at 0.02 with tax are 0.02 each without, as 19 % of it is 0.0032; of 0.06 it is 0.01.
    tax = TaxKey("S", Decimal(19))
    result = totals([Amount(tax, Decimal("0.02"))] * 3, 2, promised=Decimal("0.06"))
    assert (result.gross, result.rounding, result.payable) == (
        Decimal("0.07"),
        Decimal("-0.01"),
        Decimal("0.06"),
    )


@pytest.mark.parametrize(
    ("quantity", "price", "discount_percent", "decimals", "discount", "net"),
    [
        ("0.35", "60.00", "0", 2, "0.00", "21.00"),
        ("0.35", "60.00", "10", 2, "2.10", "18.90"),
        ("1", "0.125", "0", 2, "0.00", "0.13"),  # a half is rounded away from zero
        ("3", "33.333", "0", 0, "0", "100"),  # a currency without a minor unit
        ("3", "33.3333", "0", 3, "0.000", "100.000"),  # one with thousandths
    ],
)
def test_a_line_is_quantity_times_price_less_its_discount(
    quantity, price, discount_percent, decimals, discount, net
):
    amount = line_amount(Decimal(quantity), Decimal(price), Decimal(discount_percent), decimals)
    assert (amount.discount, amount.net) == (Decimal(discount), Decimal(net))


@given(
    st.lists(
        st.tuples(
            st.sampled_from([SIX, TWENTY_ONE, TaxKey("E", Decimal(0))]),
            st.decimals(0, 10_000, places=2),
        ),
        max_size=30,
    )
)
def test_totals_always_add_up(lines):
    result = totals([Amount(*line) for line in lines], 2)
    assert result.net == sum(net for _, net in lines)
    assert result.tax == sum(tax.tax for tax in result.taxes)
    assert result.gross == result.net + result.tax
    for tax in result.taxes:
        exact = tax.taxable * tax.key.percent / 100
        assert abs(tax.tax - exact) <= Decimal("0.005")
