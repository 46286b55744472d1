"""The levels of reminders and their texts, which the owner edits."""

from typing import Any, ClassVar

from django.db.models import QuerySet
from rest_framework import serializers

from billing.models import ReminderLevel, ReminderText
from billing.queries.reminders import reminder_levels
from billing.rules.reminding import PLACEHOLDERS, unknown_placeholders
from shop.actions.records import record_change, record_create, record_delete
from shop.http.amounts import AmountField, AmountInputField
from shop.http.permissions import OFFICE, OWNER, grants
from shop.http.records import Changed, Created, Deleted, Listed, Retrieved
from shop.http.serializers import RowField, RowSerializer, StrictSerializer, TextField
from shop.http.views import ShopViewSet, Values
from shop.models import Language

YEAR_DAYS = 366
NAMES = ", ".join(f"${name}" for name in PLACEHOLDERS)


class ReminderTextField(TextField):
    """Text with placeholders that stand for what a reminder says."""

    default_error_messages: ClassVar = {
        "placeholder": "{wrong} stands for nothing here; known: {known}. A dollar sign is $$."
    }

    def to_internal_value(self, data: Any) -> str:
        """Return the text.

        Raises:
            ValidationError: it has a placeholder that stands for nothing.
        """
        text = super().to_internal_value(data)
        unknown = unknown_placeholders(text)
        if unknown:
            self.fail("placeholder", wrong=unknown[0], known=NAMES)
        return text


class ReminderLevelInput(StrictSerializer):
    """Which reminder, how many days after the due day, and what fee, if any."""

    level = serializers.IntegerField(min_value=1, max_value=99)
    days_after_due = serializers.IntegerField(min_value=1, max_value=YEAR_DAYS)
    fee_amount = AmountInputField(
        required=False,
        allow_null=True,
        default=None,
        help_text=(
            "None unless local law, and what was agreed, allow one. The reminder of this level asks"
            " for it, and no later one does."
        ),
    )


class ReminderTextInput(StrictSerializer):
    """What the reminders of a level say in a language."""

    level = RowField(queryset=ReminderLevel.objects.all())
    language = serializers.ChoiceField(choices=Language.choices)
    subject = ReminderTextField(max_length=200)
    body = ReminderTextField(multiline=True, max_length=5000, trim_whitespace=False)


class ReminderTextOutput(RowSerializer):
    """A text of a level."""

    class Meta:
        model = ReminderText
        fields = ("id", "level", "language", "subject", "body")


class ReminderLevelOutput(RowSerializer):
    """A level with its texts."""

    fee_amount = AmountField(allow_null=True)
    texts = ReminderTextOutput(many=True)

    class Meta:
        model = ReminderLevel
        fields = ("id", "level", "days_after_due", "fee_amount", "texts")


class OwnersRecords(Listed, Retrieved, Created, Changed, Deleted, ShopViewSet):
    """Base of both: read by the office, written by the owner."""

    roles = grants(read=OFFICE, write=OWNER)

    def add(self, values: Values) -> Any:
        """Add a row."""
        return record_create(model=self.model, values=values)

    def change(self, row: Any, values: Values) -> None:
        """Change a row; reminders that were made keep what they said."""
        record_change(record=row, changes=values)

    def remove(self, row: Any) -> None:
        """Remove a row that no reminder was made by."""
        record_delete(record=row)


class ReminderLevelViewSet(OwnersRecords):
    """The levels at which overdue invoices are reminded of, each more days after the due day."""

    model = ReminderLevel
    create_input = change_input = ReminderLevelInput
    output = ReminderLevelOutput

    def rows(self) -> QuerySet[ReminderLevel]:
        """Return the levels in their order."""
        return reminder_levels()


class ReminderTextViewSet(OwnersRecords):
    """What reminders say, by level and language, with placeholders such as `$number`."""

    model = ReminderText
    create_input = change_input = ReminderTextInput
    output = ReminderTextOutput

    def rows(self) -> QuerySet[ReminderText]:
        """Return the texts, by level."""
        return ReminderText.objects.order_by("id")
