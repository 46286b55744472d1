"""The journal for an accountant, and the accounts it names."""

from decimal import Decimal
from typing import Any

from django.conf import settings
from django.db.models import QuerySet
from rest_framework import serializers
from rest_framework.response import Response

from billing.models import LedgerAccount, PaymentMethod
from billing.queries.journal import journal_lines, ledger_accounts
from shop.actions.records import record_change
from shop.http.amounts import AmountField, QuantityField
from shop.http.permissions import OFFICE, OWNER, grants
from shop.http.records import Changed, Listed, Retrieved
from shop.http.reports import OfficeReport, PeriodQuery
from shop.http.serializers import RowSerializer, StrictSerializer, TextField
from shop.http.views import ShopViewSet, Values

NOTHING = Decimal(0)


class LedgerAccountInput(StrictSerializer):
    """The code and the name that the accountant uses."""

    code = TextField(max_length=20)
    name = TextField(max_length=100)


class LedgerAccountOutput(RowSerializer):
    """The account of a role; money has one for each method of payment."""

    method = serializers.ChoiceField(PaymentMethod.choices, allow_blank=True)

    class Meta:
        model = LedgerAccount
        fields = ("id", "role", "method", "code", "name")


class LedgerAccountViewSet(Listed, Retrieved, Changed, ShopViewSet):
    """The accounts that the journal names, of which each role has one; roles may share a code."""

    model = LedgerAccount
    roles = grants(read=OFFICE, write=OWNER)
    change_input, output = LedgerAccountInput, LedgerAccountOutput

    def rows(self) -> QuerySet[LedgerAccount]:
        """Return the accounts, which the office and the owner see."""
        return ledger_accounts()

    def change(self, row: LedgerAccount, values: Values) -> LedgerAccount:
        """Give the account another code or name."""
        return record_change(record=row, changes=values)


class JournalLineOutput(serializers.Serializer[Any]):
    """A debit or a credit on an account; those of a document come to the same."""

    booked_on = serializers.DateField(source="entry.booked_on")
    document_kind = serializers.CharField(source="entry.document_kind")
    document = serializers.CharField(source="entry.document")
    account_code = serializers.CharField(source="account.code")
    account_name = serializers.CharField(source="account.name")
    debit = AmountField(allow_null=True)
    credit = AmountField(allow_null=True)
    currency = serializers.CharField(default=settings.CURRENCY)
    tax_code = serializers.CharField(source="posting.rate.code", allow_null=True)
    tax_percent = QuantityField(source="posting.rate.percent", allow_null=True)
    text = serializers.CharField(source="entry.text")


class JournalOutput(serializers.Serializer[Any]):
    """The journal of a period: `debit_total` is `credit_total`."""

    opened_on = serializers.DateField()
    closed_on = serializers.DateField()
    currency = serializers.CharField(default=settings.CURRENCY)
    items = JournalLineOutput(many=True)
    debit_total = AmountField()
    credit_total = AmountField()


class JournalViewSet(OfficeReport):
    """Every issued document and all that moved money, as double entry, for an accountant."""

    query = PeriodQuery
    output = JournalOutput

    def journal(self) -> Response:
        """Return the journal by day, as JSON, or as a sheet of its lines."""
        period = self.checked_query()
        lines = journal_lines(**period)
        debits = sum((line.debit or NOTHING for line in lines), NOTHING)
        credits_ = sum((line.credit or NOTHING for line in lines), NOTHING)
        return self.shown(
            {**period, "items": lines, "debit_total": debits, "credit_total": credits_}
        )
