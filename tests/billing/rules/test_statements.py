from datetime import date
from decimal import Decimal

from billing.rules.statements import Change, account


def change(day, amount):
    return Change(date(2026, 3, day), "invoice", "2026-00001", Decimal(amount))


def test_what_came_before_is_the_opening_balance_and_the_rest_runs():
    changes = [change(1, 100), change(2, -30), change(2, 50), change(9, -120)]
    found = account(changes, date(2026, 3, 2))
    assert found.opening_balance == 100
    assert [line.balance for line in found.lines] == [70, 120, 0]
    assert found.closing_balance == 0


def test_an_account_on_which_nothing_happens_keeps_its_balance():
    found = account([change(1, 100)], date(2026, 3, 2))
    assert (found.opening_balance, found.lines, found.closing_balance) == (100, (), 100)
    assert account([], date(2026, 3, 2)).closing_balance == 0
