import pytest

from billing.models import BankStatement, StatementEntry
from tests.factories.payments import (
    BankStatementFactory,
    PaymentFactory,
    StatementEntryFactory,
    reversal_of,
)
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "wrong", "right"),
    [
        ("billing_bankstatement_format_known", {"format": "mt940"}, {"format": "csv"}),
        ("billing_bankstatement_named", {"identifier": ""}, {"identifier": "7"}),
        ("billing_bankstatement_named", {"account": ""}, {"account": "7"}),
    ],
)
def test_a_statement_is_of_an_account_and_has_a_name(rule, wrong, right):
    with refused(rule):
        BankStatementFactory(**wrong)
    with accepted():
        BankStatementFactory(**right)


def test_a_statement_is_kept_once_and_stays():
    kept = BankStatementFactory()
    with refused("billing_bankstatement_kept_once"):
        BankStatementFactory(identifier=kept.identifier)
    with refused("billing_bankstatement_append_only"):
        BankStatement.objects.filter(pk=kept.pk).update(closing_balance=0)
    with accepted():
        BankStatementFactory(identifier=kept.identifier, account="another")


def test_an_entry_counts_once_in_its_account():
    entry = StatementEntryFactory()
    with refused("billing_statemententry_counted_once"):
        StatementEntryFactory(entry_reference=entry.entry_reference)
    with accepted():
        StatementEntryFactory(entry_reference=entry.entry_reference, statement__account="another")


@pytest.mark.parametrize("wrong", [{"amount": 0}, {"entry_reference": ""}])
def test_an_entry_moves_money_and_has_a_reference(wrong):
    with refused("billing_statemententry_moves_money"):
        StatementEntryFactory(**wrong)
    with accepted():
        StatementEntryFactory(amount=-1)


def test_an_entry_is_of_its_statements_account():
    with refused("billing_statemententry_same_account"):
        StatementEntryFactory(account="another")
    with accepted():
        StatementEntryFactory()


def test_an_entry_stays_but_may_be_dismissed():
    entry = StatementEntryFactory()
    mine = StatementEntry.objects.filter(pk=entry.pk)
    for change in ({"amount": 1}, {"text": "Rent"}):
        with refused("billing_statemententry_stays"):
            mine.update(**change)
    with refused("billing_statemententry_stays"):
        mine.delete()
    with accepted():
        mine.update(dismissal_reason="The owner's own money.")
        mine.update(dismissal_reason="")


def test_an_entry_that_is_recorded_is_not_dismissed():
    entry = StatementEntryFactory()
    payment = PaymentFactory(statement_entry=entry)
    mine = StatementEntry.objects.filter(pk=entry.pk)
    with refused("billing_statemententry_dismissed_open"):
        mine.update(dismissal_reason="Not ours.")
    with accepted():
        reversal_of(payment)
        mine.update(dismissal_reason="Not ours.")


def test_no_more_is_recorded_of_an_entry_than_came_in():
    entry = StatementEntryFactory(amount=40)
    with refused("billing_payment_within_entry"):
        PaymentFactory(statement_entry=entry, amount=41)
    with accepted():
        first = PaymentFactory(statement_entry=entry, amount=40)
    with refused("billing_payment_within_entry"):
        PaymentFactory(statement_entry=entry, amount=1)
    with accepted():
        reversal_of(first)
        PaymentFactory(statement_entry=entry, amount=15)
        PaymentFactory(statement_entry=entry, amount=25)


@pytest.mark.parametrize(
    "wrong",
    [{"amount": -40}, {"dismissal_reason": "Not ours."}, {"statement__currency": "CHF"}],
    ids=["went out", "dismissed", "other currency"],
)
def test_a_payment_is_recorded_of_what_came_in(wrong):
    entry = StatementEntryFactory(**wrong)
    with refused("billing_payment_within_entry"):
        PaymentFactory(statement_entry=entry)
    with accepted():
        PaymentFactory(statement_entry=StatementEntryFactory())
