from decimal import Decimal

import pytest

from billing.rules import journal
from billing.rules.journal import Rate, Taxed

STANDARD, ZERO = Rate("S", Decimal(19)), Rate("Z", Decimal(0))


def taxed(net, deposits=0, tax=0, rate=STANDARD):
    return Taxed(rate, Decimal(net), Decimal(deposits), Decimal(tax))


# Worked out by hand as any textbook of double entry has it: (role, debit above nothing). An advance
# received is a liability until the work is done (IFRS 15.106: contract liability).
CASES = {
    "two rates": (
        journal.invoiced([taxed(100, tax=19), taxed(50, rate=ZERO)], Decimal(0)),
        {"receivables": 169, "sales": -150, "output_tax": -19},
    ),
    "rounded up": (
        journal.invoiced([taxed("10.01", tax="1.90")], Decimal("0.09")),
        {"receivables": 12, "sales": "-10.01", "output_tax": "-1.90", "rounding": "-0.09"},
    ),
    "deposit": (
        journal.invoiced([taxed(100, deposits=100, tax=19)], Decimal(0)),
        {"receivables": 119, "deposits": -100, "output_tax": -19},
    ),
    "final invoice of 400 less that deposit": (
        journal.invoiced([taxed(300, deposits=-100, tax=57)], Decimal(0)),
        {"receivables": 357, "deposits": 100, "sales": -400, "output_tax": -57},
    ),
    "credit note": (
        journal.credited([taxed(40, tax="7.60")], Decimal(0)),
        {"receivables": "-47.60", "sales": 40, "output_tax": "7.60"},
    ),
    "nothing to pay": (journal.invoiced([taxed(0)], Decimal(0)), {}),
    "payment": (journal.received(Decimal(5), "cash"), {"money": 5, "client_credit": -5}),
    "it bounced": (journal.received(Decimal(-5), "cash"), {"money": -5, "client_credit": 5}),
    "refund": (journal.refunded(Decimal(5), "cash"), {"money": -5, "client_credit": 5}),
    "allocation": (journal.allocated(Decimal(5)), {"client_credit": 5, "receivables": -5}),
    "write-off": (journal.written_off(Decimal(5)), {"write_offs": 5, "receivables": -5}),
}


@pytest.mark.parametrize(("postings", "expected"), CASES.values(), ids=CASES)
def test_what_happened_is_debited_and_credited_alike(postings, expected):
    found = {}
    for posting in postings:
        found[posting.role] = found.get(posting.role, 0) + posting.amount
    assert found == {role: Decimal(amount) for role, amount in expected.items()}
    assert sum(posting.amount for posting in postings) == 0


def test_sales_and_tax_say_at_which_rate():
    postings = journal.invoiced([taxed(100, tax=19), taxed(50, rate=ZERO)], Decimal(0))
    assert [(each.role.value, each.rate) for each in postings] == [
        ("receivables", None),
        ("sales", STANDARD),
        ("output_tax", STANDARD),
        ("sales", ZERO),
    ]
