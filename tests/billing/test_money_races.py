from datetime import timedelta
from decimal import Decimal

from django.db import transaction

from billing.actions.book_entries import Recorded
from billing.actions.reminders import reminders_send
from billing.models import Invoice, Payment, StatementEntry
from billing.queries.reminders import digest, reminders_due
from shop.models import Client, Role
from tests.billing.camt import document, entry, statement
from tests.callers import Caller, caller_with
from tests.factories.billing import InvoiceFactory, issued
from tests.factories.payments import StatementEntryFactory
from tests.factories.shop import ClientFactory
from tests.factories.world import NOW, TODAY
from tests.refusals import kept_waiting
from tests.together import at_once


def test_who_send_or_accept_the_same_at_once_count_it_once(committed_database):
    with transaction.atomic():
        user = caller_with(Role.OFFICE).user
        payers = [ClientFactory().pk for _ in range(2)]
    callers = [Caller(user) for _ in range(2)]
    file = document(statement(entry("5.00", reference="B1"), closing="1005.00"))

    def send(caller):
        return caller("POST", "/bank-statements/import", file, content_type="application/xml")

    sends = at_once(2, lambda index: send(callers[index]))
    assert sorted(answer.status_code for answer in sends) == [201, 409]

    path = f"/statement-entries/{StatementEntry.objects.get().pk}/accept"
    # Of different clients, so that it is not their lock that one waits for.
    accepts = at_once(2, lambda index: callers[index].post(path, {"client": payers[index]}))
    assert sorted(answer.status_code for answer in accepts) == [201, 409]
    assert Payment.objects.count() == 1


def test_who_accept_all_that_is_certain_at_once_record_it_once(committed_database):
    reference = "RF18539007547034"  # Source: python-stdnum's documentation of ISO 11649.
    with transaction.atomic():
        user = caller_with(Role.OFFICE).user
        draft = InvoiceFactory()
        Invoice.objects.filter(pk=draft.pk).update(**issued(), reference=reference)
        came = StatementEntryFactory(amount=Decimal("117.50"), reference=reference)
    path = f"/bank-statements/{came.statement_id}/accept-certain"
    answers = at_once(2, lambda _: Caller(user).post(path))
    assert sorted(answer.json()["recorded_count"] for answer in answers) == [0, 1]
    assert Payment.objects.get().statement_entry_id == came.pk


def test_nobody_is_reminded_while_their_payment_is_recorded(committed_database):
    with transaction.atomic():
        late = InvoiceFactory(client__email="a@eel-pie.example", issued=True)
    today = TODAY + timedelta(days=30)
    asked = {"seen": digest(reminders_due(today)), "today": today}
    with transaction.atomic(using="owner"):
        Client.objects.using("owner").select_for_update(no_key=True).get(pk=late.client_id)
        with kept_waiting("default"):
            reminders_send(**asked, recorded=Recorded(NOW, late.drafted_by))
    assert len(reminders_send(**asked, recorded=Recorded(NOW, late.drafted_by))) == 1
