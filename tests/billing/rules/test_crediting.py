from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from billing.rules.crediting import Creditable, credit
from billing.rules.totals import Amount, TaxKey, totals

STANDARD, EXEMPT = TaxKey("S", Decimal(19)), TaxKey("E", Decimal(0))


def creditables(amounts, credited):
    return [
        Creditable(index, key, amount, credited.get(index, Decimal(0)))
        for index, (key, amount) in enumerate(amounts)
    ]


def test_part_of_a_line_goes_back_with_its_share_of_the_allowance_and_tax():
    lines = [Creditable(1, STANDARD, Decimal(100)), Creditable(2, STANDARD, Decimal(100))]
    allowance = Creditable(7, STANDARD, Decimal(-20))
    taken = credit(lines, [allowance], {STANDARD: Decimal("34.20")}, {1: Decimal(50)}, 2)
    # A quarter of the lines, hence of the allowance; 19 % of 45.
    assert taken.lines == {1: 50}
    assert taken.allowances == {7: -5}
    assert [(tax.taxable, tax.tax) for tax in taken.taxes] == [(45, Decimal("8.55"))]


amounts = st.lists(
    st.tuples(st.sampled_from([STANDARD, EXEMPT]), st.decimals("0.01", 500, places=2)),
    min_size=1,
    max_size=5,
)


@given(amounts, st.data())
def test_credits_in_any_parts_take_back_all_of_it_and_no_more(lines, data):
    allowances = [(key, Decimal("-0.01")) for key, _ in lines[:1]]
    document = totals(
        [Amount(*line) for line in lines],
        2,
        allowances=[Amount(key, -amount) for key, amount in allowances],
    )
    left = {tax.key: tax.tax for tax in document.taxes}
    lines_back, allowances_back = {}, {}
    for last in (False, False, True):
        rows = creditables(lines, lines_back)
        wanted = {
            row.row_id: row.left
            if last
            else data.draw(st.decimals(0, row.left, places=2), label="wanted")
            for row in rows
        }
        taken = credit(rows, creditables(allowances, allowances_back), left, wanted, 2)
        for back, now in ((lines_back, taken.lines), (allowances_back, taken.allowances)):
            for row_id, amount in now.items():
                back[row_id] = back.get(row_id, Decimal(0)) + amount
        for tax in taken.taxes:
            left[tax.key] -= tax.tax
            assert left[tax.key] >= 0
    assert sum(lines_back.values()) == document.lines
    assert sum(allowances_back.values()) == -document.allowances
    assert set(left.values()) == {0}
