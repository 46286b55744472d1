"""Invoices, credit notes, payments and what becomes of them, at random.

Beside the program stands only what came in from each client; the rest is added up from the rows by
SQL of its own.
"""

from collections import defaultdict
from datetime import timedelta
from decimal import Decimal

from django.db import connection, transaction
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from billing.actions.allocations import allocation_reverse, payment_allocate
from billing.actions.book_entries import Recorded
from billing.actions.credit_notes import credit_note_issue
from billing.actions.invoices import invoice_issue
from billing.actions.payments import (
    Money,
    payment_record,
    payment_refund,
    payment_reverse,
    refund_reverse,
)
from billing.actions.write_offs import invoice_write_off, write_off_reverse
from billing.models import Allocation, Invoice, Payment, Refund, WriteOff
from billing.queries.client_statements import client_statement
from billing.queries.invoices import invoices
from billing.queries.journal import journal_lines
from billing.queries.payments import payments, standing
from billing.queries.receivables import aged_receivables
from billing.queries.sales import sales_summary
from billing.rules.settling import Share
from shop.errors import InvalidInput, Refused
from tests.factories.billing import CreditNoteFactory, InvoiceFactory
from tests.factories.shop import ClientFactory, UserFactory
from tests.factories.world import NOW, TODAY

cents = st.integers(min_value=1, max_value=15_000)
which = st.integers(min_value=0, max_value=30)
days = st.integers(min_value=0, max_value=9)


DEMANDS = Invoice.objects.exclude(kind="credit_note")


def euros(amount):
    return Decimal(amount) / 100


class MoneyMachine(RuleBasedStateMachine):
    """Whatever is done in whatever order, nothing is lost and nothing falls below nothing."""

    @initialize()
    def begin(self):
        self.block = transaction.atomic()
        self.block.__enter__()
        self.clients = [ClientFactory(), ClientFactory()]
        self.user = UserFactory()
        self.today = TODAY
        self.came_in = defaultdict(Decimal)
        for index, _ in enumerate(self.clients):
            self.invoice(index, "invoice")
            self.invoice(index, "deposit")
            self.pay(index, 30_000, 0, [(2 * index, 5_000)])
            self.pay(index, 10_000, 0, [])
        # Of what is credit by then, some came before these.
        self.days_pass(2)
        for index, _ in enumerate(self.clients):
            self.invoice(index, "invoice")

    @property
    def recorded(self):
        return Recorded(NOW, self.user)

    def chosen(self, rows, index):
        found = list(rows.order_by("pk"))
        return found[index % len(found)] if found else None

    def tried(self, verb, **values):
        """Do it, or be told why not; what is refused leaves no trace."""
        try:
            with transaction.atomic():
                return verb(**values, recorded=self.recorded)
        except (Refused, InvalidInput):
            return None

    @rule(later=days)
    def days_pass(self, later):
        self.today += timedelta(days=later)

    @rule(index=which, kind=st.sampled_from(["invoice", "deposit"]))
    def invoice(self, index, kind):
        line = "deposit" if kind == "deposit" else "labour"
        draft = InvoiceFactory(client=self.clients[index % 2], kind=kind, lines__kind=line)
        invoice_issue(invoice=draft, issued_on=self.today)

    @rule(index=which, amount=cents, ago=days, shared=st.lists(st.tuples(which, cents), max_size=2))
    def pay(self, index, amount, ago, shared):
        client = self.clients[index % 2]
        received_on = max(TODAY, self.today - timedelta(days=ago))
        found = list(DEMANDS.order_by("pk"))
        shares = {found[n % len(found)].pk: euros(part) for n, part in shared} if found else {}
        money = Money(euros(amount), "transfer", received_on)
        paid = self.tried(
            payment_record,
            client=client,
            money=money,
            shares=[Share(*each) for each in shares.items()],
        )
        if paid:
            self.came_in[client.pk] += money.amount

    @rule(index=which)
    def allocate(self, index):
        if payment := self.chosen(Payment.objects.all(), index):
            self.tried(payment_allocate, payment=payment)

    @rule(index=which, amount=cents, ago=days)
    def refund(self, index, amount, ago):
        if payment := self.chosen(Payment.objects.all(), index):
            money = Money(euros(amount), "cash", self.today - timedelta(days=ago))
            self.tried(payment_refund, payment=payment, money=money, reason="Paid twice.")

    @rule(index=which, amount=st.none() | cents)
    def write_off(self, index, amount):
        if invoice := self.chosen(DEMANDS, index):
            given = amount and euros(amount)
            booked = {"booked_on": self.today, "reason": "Closed."}
            self.tried(invoice_write_off, invoice=invoice, amount=given, **booked)

    @rule(index=which, net=st.integers(min_value=1, max_value=100))
    def credit(self, index, net):
        invoice = self.chosen(DEMANDS, index)
        credited = sum(note.net_total for note in invoice.credit_notes.all()) if invoice else 100
        if credited + net <= 100:
            tax = Decimal("17.5") if credited + net == 100 else Decimal(0)
            note = CreditNoteFactory(
                corrects=invoice,
                net_total=Decimal(net),
                tax_total=tax,
                taxes__tax_percent=0,
                lines__kind=invoice.lines.get().kind,
            )
            self.tried(credit_note_issue, note=note, issued_on=self.today)

    @rule(index=which)
    def reverse_payment(self, index):
        if payment := self.chosen(Payment.objects.all(), index):
            done = self.tried(
                payment_reverse, payment=payment, reason="Bounced.", booked_on=self.today
            )
            if done:
                self.came_in[payment.client_id] -= payment.amount

    @rule(
        index=which,
        book=st.sampled_from(
            [
                (Allocation, allocation_reverse, "allocation"),
                (Refund, refund_reverse, "refund"),
                (WriteOff, write_off_reverse, "write_off"),
            ]
        ),
    )
    def reverse(self, index, book):
        model, verb, name = book
        if row := self.chosen(standing(model.objects.all()), index):
            self.tried(verb, **{name: row}, reason="Wrong.", booked_on=self.today)

    @invariant()
    def money_in_is_allocated_refunded_or_credit(self):
        sums = defaultdict(Decimal)
        for row in payments().filter(reverses__isnull=True):
            assert row.credit_total >= 0
            sums[row.client_id] += row.allocated_total + row.refunded_total + row.credit_total
        assert {key: total for key, total in sums.items() if total} == {
            key: total for key, total in getattr(self, "came_in", {}).items() if total
        }

    @invariant()
    def what_is_due_is_never_below_nothing(self):
        assert not invoices().filter(status="issued", due_total__lt=0).exists()

    @invariant()
    def nothing_was_below_nothing_on_any_day(self):
        for key in ("invoice", "payment"):
            assert lowest(key) >= 0

    def teardown(self):
        """Read the books on several days, once all is done, and forget everything."""
        if not hasattr(self, "block"):
            return
        try:
            for days_later in (0, 3, 8, 40):
                books_tie_out(self.clients, TODAY + timedelta(days=days_later))
        finally:
            transaction.set_rollback(True)
            self.block.__exit__(None, None, None)


def books_tie_out(clients, on):
    """The journal balances by document and holds what the other reports say, on any day."""
    documents, accounts = defaultdict(Decimal), defaultdict(Decimal)
    for line in journal_lines(opened_on=TODAY, closed_on=on):
        documents[line.entry.document_kind, line.entry.document] += line.posting.amount
        accounts[line.posting.role.value] += line.posting.amount
    assert set(documents.values()) <= {0}
    aged = aged_receivables(on)
    assert accounts["receivables"] == aged.owed_total == sum(aged.amounts)
    assert accounts["client_credit"] == -aged.credit_total
    periods = sales_summary(opened_on=TODAY, closed_on=on, by="month")
    # What was demanded before the work is in the summary, and on deposits in the journal.
    accounts["net"] = accounts["sales"] + accounts["deposits"]
    for role, name in (("net", "net"), ("output_tax", "tax")):
        assert accounts[role] == -sum(rate[name] for each in periods for rate in each.rates)
        assert accounts[role] == -sum(each.totals[f"{name}_total"] for each in periods)
    owing = {row.client.pk: row.owed_total - row.credit_total for row in aged.clients}
    for client in clients:
        found = client_statement(client, opened_on=on, closed_on=on)
        assert found.account.closing_balance == owing.get(client.pk, 0)


# What is left on each day after all that counts from it, and the least of that. A payment's own
# reversal is among what is taken off it.
ON_EACH_DAY = {
    "invoice": """
        SELECT id AS key, issued_on AS day, payable_total AS amount FROM billing_invoice
            WHERE status = 'issued' AND kind <> 'credit_note'
        UNION ALL SELECT corrects_id, issued_on, -payable_total FROM billing_invoice
            WHERE status = 'issued' AND kind = 'credit_note'
        UNION ALL SELECT invoice_id, booked_on, -amount FROM billing_allocation
        UNION ALL SELECT invoice_id, booked_on, -amount FROM billing_writeoff
    """,
    "payment": """
        SELECT COALESCE(reverses_id, id) AS key, booked_on AS day, amount FROM billing_payment
        UNION ALL SELECT payment_id, booked_on, -amount FROM billing_allocation
        UNION ALL SELECT payment_id, booked_on, -amount FROM billing_refund
    """,
}


def lowest(key):
    with connection.cursor() as cursor:
        cursor.execute(
            f"""
            SELECT COALESCE(min(left_then), 0) FROM (
                SELECT sum(sum(amount)) OVER (PARTITION BY key ORDER BY day) AS left_then
                FROM ({ON_EACH_DAY[key]}) AS changes GROUP BY key, day
            ) AS days
            """
        )
        return cursor.fetchone()[0]
