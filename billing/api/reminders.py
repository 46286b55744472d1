"""Reminders of overdue invoices: shown first, then recorded and mailed."""

from typing import Any

import django_filters
from django.conf import settings
from django.db.models import QuerySet
from django.utils import timezone
from rest_framework import serializers
from rest_framework.response import Response

from billing.actions.book_entries import Recorded
from billing.actions.reminders import reminder_mail_again, reminders_send
from billing.models import Reminder, ReminderChannel
from billing.queries.parties import client_of, seller_of
from billing.queries.reminders import NO_EMAIL, NO_TEXT, digest, reminders, reminders_due
from shop.http.amounts import AmountField
from shop.http.filters import IdFilter, Order, TrueFalseFilter
from shop.http.permissions import OFFICE, grants
from shop.http.records import Listed, Retrieved
from shop.http.serializers import RowSerializer, StrictSerializer
from shop.http.verbs import report, verb
from shop.http.views import ShopViewSet
from shop.models import Language, ShopProfile

MOST_INVOICES = 1000
LAW = (
    "Interest is simple, by actual days of a year of 365 (common practice), on what was open on"
    " each day after the due day. Interest and fees are asked for only as the shop's settings say;"
    " local law governs whether they may be, how much, and from when. A reminder books neither:"
    " what is paid of them is the client's credit."
)


class RemindInput(StrictSerializer):
    """What was shown by `/reminders/due`, named by its digest, is sent.

    Only of the named invoices, where some are named. Clients without an address are passed over,
    unless their reminders are recorded as letters.
    """

    seen = serializers.RegexField("^[0-9a-f]{64}$")
    invoices = serializers.ListField(
        child=serializers.IntegerField(min_value=1),
        max_length=MOST_INVOICES,
        allow_empty=False,
        required=False,
    )
    letters = serializers.BooleanField(default=False)


class DueReminderOutput(serializers.Serializer[Any]):
    """A reminder whose turn it is: to whom, what it asks for, and the whole text.

    `hindrance` says why it cannot be mailed.
    """

    invoice = serializers.IntegerField(source="invoice.pk")
    number = serializers.CharField(source="invoice.number")
    client = serializers.IntegerField(source="invoice.client_id")
    client_name = serializers.CharField(source="invoice.client.name")
    email = serializers.CharField(source="invoice.client.email")
    level = serializers.IntegerField(source="level.level")
    language = serializers.ChoiceField(Language.choices)
    due_on = serializers.DateField(source="invoice.due_on")
    days_overdue = serializers.IntegerField()
    open_total = AmountField(source="invoice.open_total")
    interest_amount = AmountField()
    fee_amount = AmountField()
    total = AmountField()
    subject = serializers.CharField()
    body = serializers.CharField()
    hindrance = serializers.ChoiceField([(NO_EMAIL, NO_EMAIL), (NO_TEXT, NO_TEXT)], allow_null=True)


class DueRemindersOutput(serializers.Serializer[Any]):
    """What would be sent today; `seen` is its digest, which sending it asks for.

    `unreachable` are clients without an e-mail address, by name.
    """

    on = serializers.DateField()
    currency = serializers.CharField(default=settings.CURRENCY)
    note = serializers.CharField(default=LAW)
    seen = serializers.CharField()
    items = DueReminderOutput(many=True)
    unreachable = serializers.ListField(child=serializers.CharField())


class ReminderOutput(RowSerializer):
    """A reminder that was made; `mailed_at` is when the mail server took it."""

    number = serializers.CharField(source="invoice.number")
    client = serializers.IntegerField(source="invoice.client_id")
    level = serializers.IntegerField(source="level.level")
    currency = serializers.CharField(source="invoice.currency")
    due_on = serializers.DateField(source="invoice.due_on")
    open_total = AmountField()
    interest_amount = AmountField()
    fee_amount = AmountField()
    total = serializers.SerializerMethodField()

    class Meta:
        model = Reminder
        fields: tuple[str, ...] = (
            *("id", "invoice", "number", "client", "level", "channel", "language", "email"),
            *("subject", "body", "currency", "due_on", "open_total", "interest_amount"),
            *("fee_amount", "total", "reminded_on", "recorded_at", "mailed_at"),
        )

    def get_total(self, reminder: Reminder) -> str:
        """Return what it asks for in all."""
        total = reminder.open_total + reminder.interest_amount + reminder.fee_amount
        return AmountField().to_representation(total)


class ReminderInFullOutput(ReminderOutput):
    """A reminder with the shop and the client as they are now."""

    seller = serializers.SerializerMethodField()
    buyer = serializers.SerializerMethodField()

    class Meta(ReminderOutput.Meta):
        fields = (*ReminderOutput.Meta.fields, "seller", "buyer")

    def get_seller(self, _: Reminder) -> dict[str, Any]:
        """Return who the shop is."""
        return seller_of(ShopProfile.objects.get())

    def get_buyer(self, reminder: Reminder) -> dict[str, Any]:
        """Return who the client is."""
        return client_of(reminder.invoice.client, ShopProfile.objects.get())


class RemindersSentOutput(serializers.Serializer[Any]):
    """The reminders that were recorded; mails go out once they are."""

    items = ReminderOutput(many=True)


class ReminderFilter(django_filters.FilterSet):  # type: ignore[misc]
    """By invoice, client, level, channel, and whether the mail server took it."""

    invoice = IdFilter()
    client = IdFilter(field_name="invoice__client")
    level = django_filters.NumberFilter(field_name="level__level")
    channel = django_filters.ChoiceFilter(choices=ReminderChannel.choices)
    is_mailed = TrueFalseFilter(method="by_mailed", label="The mail server took it.")
    order = Order(fields=["recorded_at", "id"])

    class Meta:
        model = Reminder
        fields = ()

    def by_mailed(self, rows: QuerySet[Any], _: str, is_mailed: bool) -> QuerySet[Any]:  # noqa: FBT001
        """Return the reminders that were mailed, or were not."""
        return rows.filter(mailed_at__isnull=not is_mailed)


class ReminderViewSet(Listed, Retrieved, ShopViewSet):
    """Reminders of overdue invoices, the latest first; each level of an invoice has one."""

    model = Reminder
    roles = grants(read=OFFICE, write=OFFICE)
    filterset_class = ReminderFilter
    create_input = RemindInput

    def rows(self) -> QuerySet[Reminder]:
        """Return the reminders, which the office and the owner see."""
        return reminders()

    def output_class(self) -> Any:
        """Return the list of what was sent, the short form of a row, or the long one."""
        if self.action == "create":
            return RemindersSentOutput
        return self.gives or (ReminderOutput if self.pages else ReminderInFullOutput)

    @report(gives=DueRemindersOutput)
    def due(self) -> Response:
        """Return what would be sent today, to whom, and the whole text; nothing is sent."""
        today = timezone.localdate()
        found = reminders_due(today)
        names = dict.fromkeys(
            each.invoice.client.name for each in found if each.hindrance == NO_EMAIL
        )
        shown = {"on": today, "seen": digest(found), "items": found, "unreachable": list(names)}
        return self.shown(shown)

    def create(self) -> Response:
        """Record and mail what was shown."""
        made = reminders_send(
            **self.checked(),
            today=timezone.localdate(),
            recorded=Recorded(timezone.now(), self.user),
        )
        kept = reminders().filter(pk__in=[reminder.pk for reminder in made]).order_by("pk")
        return self.shown({"items": kept}, 201)

    @verb(gives=ReminderOutput)
    def mail(self) -> Response:
        """Mail a reminder again that the mail server did not take."""
        row = self.found_and_locked()
        reminder_mail_again(reminder=row, mailed_at=timezone.now())
        return self.shown(row)
