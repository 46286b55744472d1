"""Extra work on an approved quote, and what the client says to it."""

from typing import Any

import django_filters
from django.db.models import QuerySet
from django.utils import timezone
from rest_framework import serializers
from rest_framework.response import Response
from rest_framework.reverse import reverse

from billing.actions.changes import ChangeDraft, change_approve, change_decline, change_make
from billing.api.documents import TOTALS, DocumentTaxOutput, DocumentTotalsOutput
from billing.api.quote_outputs import QuoteLineOutput
from billing.models import ChangeStatus, Quote, QuoteChange
from billing.queries.changes import changes as all_changes
from billing.queries.quotes import quotes
from diagnostics.queries.instruments import compass_of
from diagnostics.rules.note_names import Naming, notes_text
from shop.http.amounts import AmountField, QuantityField
from shop.http.filters import IdFilter, Order
from shop.http.permissions import EVERYONE, grants
from shop.http.records import Listed, Retrieved
from shop.http.serializers import StrictSerializer, TextField
from shop.http.verbs import verb
from shop.http.views import ShopViewSet

LOCAL_LAW = (
    "How far work may go beyond a quote without the client's word is for local consumer law, which"
    " goes before the shop's tolerance."
)


class QuoteChangeMakeInput(StrictSerializer):
    """A remedy that was not quoted, on which notes (none: the whole instrument), and why."""

    remedy = TextField(max_length=60)
    notes = TextField(max_length=500, default="", help_text="Such as C4,E4-G4.")
    naming = serializers.ChoiceField(choices=list(Naming), default=Naming.SCIENTIFIC)
    reason = TextField(max_length=2000, multiline=True)


class QuoteChangeApproveInput(StrictSerializer):
    """Who said yes."""

    approved_by = TextField(max_length=200)


class QuoteChangeDeclineInput(StrictSerializer):
    """Who said no, and why."""

    declined_by = TextField(max_length=200, default="")
    reason = TextField(max_length=1000, default="", multiline=True)


class QuoteChangePartOutput(serializers.Serializer[Any]):
    """What goes into the job bag of a part, once the change is agreed."""

    part = serializers.CharField(source="part.code")
    name = serializers.CharField(source="part.name")
    unit = serializers.CharField(source="part.unit")
    wanted_quantity = QuantityField()


class QuoteChangeOutput(DocumentTotalsOutput):
    """Extra work, priced as the quote's day was.

    It is tolerated, and done at once, while its net total is within `tolerance_left`; else it is
    proposed to the client, who approves or declines it.
    """

    remedy = serializers.CharField(source="remedy.code")
    notes = serializers.SerializerMethodField(help_text="Empty for the whole instrument.")
    tolerance_left = AmountField()
    lines = QuoteLineOutput(many=True)
    taxes = DocumentTaxOutput(many=True)
    parts = QuoteChangePartOutput(many=True)
    local_law = serializers.CharField(default=LOCAL_LAW)

    class Meta:
        model = QuoteChange
        fields = (
            *("id", "quote", "number", "status", "remedy", "notes", "notes_midi", "reason"),
            *TOTALS,
            *("tolerance_left", "lines", "taxes", "parts", "made_at", "made_by"),
            *("decided_at", "decided_by_name", "decision_reason", "local_law"),
        )

    def get_notes(self, change: QuoteChange) -> str:
        """Return the notes by their names."""
        return notes_text(change.notes_midi, compass_of(change.quote.examination.instrument))


class QuoteChangeFilter(django_filters.FilterSet):  # type: ignore[misc]
    """By quote and by where they stand."""

    quote = IdFilter()
    status = django_filters.MultipleChoiceFilter(choices=ChangeStatus.choices)
    order = Order(fields=["id", "made_at"])

    class Meta:
        model = QuoteChange
        fields = ()


class QuoteChangeViewSet(Listed, Retrieved, ShopViewSet):
    """Extra work on quotes, and the client's answer."""

    model = QuoteChange
    roles = grants(read=EVERYONE, write=EVERYONE)
    filterset_class = QuoteChangeFilter
    output = QuoteChangeOutput

    def rows(self) -> QuerySet[QuoteChange]:
        """Return the changes: everybody in the shop may see them."""
        return all_changes()

    @verb(takes=QuoteChangeApproveInput)
    def approve(self) -> Response:
        """Record that the client agreed; the parts go into the job bag."""
        change_approve(
            change=self.found(),
            approved_by_name=self.checked()["approved_by"],
            decided_at=timezone.now(),
            decided_by=self.user,
        )
        return self.shown(self.found())

    @verb(takes=QuoteChangeDeclineInput)
    def decline(self) -> Response:
        """Record that the client did not agree."""
        values = self.checked()
        change_decline(
            change=self.found(),
            declined_by_name=values["declined_by"],
            reason=values["reason"],
            decided_at=timezone.now(),
        )
        return self.shown(self.found())


class ChangesOfQuoteViewSet(ShopViewSet):
    """Extra work under a quote."""

    model = Quote
    roles = grants(write=EVERYONE)
    output = QuoteChangeOutput

    def rows(self) -> QuerySet[Quote]:
        """Return the quotes."""
        return quotes()

    @verb(takes=QuoteChangeMakeInput, gives_status=201)
    def changes(self) -> Response:
        """Record work that the quote did not foresee, and return it priced."""
        change = change_make(
            quote=self.found(),
            draft=ChangeDraft(**self.checked()),
            made_at=timezone.now(),
            made_by=self.user,
        )
        path = {"pk": change.pk}
        location = reverse("quote-change-detail", kwargs=path, request=self.request)
        return self.created(all_changes().get(pk=change.pk), location)
