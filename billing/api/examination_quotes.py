"""The quote of an examination: how it is wanted, and making it."""

from decimal import Decimal

from django.db.models import QuerySet
from django.utils import timezone
from rest_framework import serializers
from rest_framework.response import Response
from rest_framework.reverse import reverse

from billing.actions.quotes import quote_approve
from billing.actions.quoting import QuoteTerms, quote_make
from billing.api.plans import RoomRemedyField
from billing.api.quote_outputs import QuoteOutput
from billing.models import FeeKind
from billing.queries.quotes import default_shelf, quotes_in_full
from billing.rules.plans import PlanKind
from diagnostics.models import Examination
from shop.http.permissions import EVERYONE, grants
from shop.http.serializers import RowField, StrictSerializer, TextField
from shop.http.verbs import verb
from shop.http.views import ShopViewSet
from shop.models import Place, PlaceKind

OWN_KINDS = [PlaceKind.SHELF, PlaceKind.VAN]


class QuoteMakeInput(StrictSerializer):
    """How the quote is wanted; all of it may be left out."""

    from_place = RowField(
        queryset=Place.objects.filter(kind__in=OWN_KINDS, is_active=True),
        required=False,
        help_text="The shelf or van that parts come from; the first shelf when left out.",
    )
    fees = serializers.ListField(
        child=serializers.ChoiceField(choices=[FeeKind.TRAVEL, FeeKind.INSPECTION]),
        default=[FeeKind.TRAVEL],
        max_length=2,
    )
    discount_percent = serializers.DecimalField(
        max_digits=5, decimal_places=2, min_value=0, max_value=100, default=Decimal(0)
    )
    revise = serializers.BooleanField(
        default=False,
        help_text="Make the next version of the open quote, which it supersedes; of its job bag,"
        " only the difference is moved.",
    )
    require_stock = serializers.BooleanField(default=False)
    leave_out_undecided = serializers.BooleanField(default=False)
    plan = serializers.ChoiceField(
        choices=list(PlanKind),
        default=PlanKind.NOW,
        help_text="room_first quotes treating the room and what cannot wait for it.",
    )
    room_remedy = RoomRemedyField()
    approve = serializers.BooleanField(default=False)
    approved_by = TextField(max_length=200, default="")


class ExaminationQuoteViewSet(ShopViewSet):
    """The quote of an examination."""

    model = Examination
    roles = grants(write=EVERYONE)
    output = QuoteOutput

    def rows(self) -> QuerySet[Examination]:
        """Return the examinations that can be quoted: all of them."""
        return Examination.objects.all()

    @verb(takes=QuoteMakeInput, gives_status=201)
    def quote(self) -> Response:
        """Price the findings, take the parts into a job bag, and return the quote."""
        values = self.checked()
        approve, approved_by = values.pop("approve"), values.pop("approved_by")
        from_place = values.pop("from_place", None) or default_shelf()
        fees = tuple(values.pop("fees"))
        now, today = timezone.now(), timezone.localdate()
        quote = quote_make(
            examination=self.found(),
            terms=QuoteTerms(from_place=from_place, fees=fees, **values),
            made_at=now,
            made_on=today,
            made_by=self.user,
        )
        if approve:
            name = approved_by or quote.client.name
            quote_approve(quote=quote, approved_by_name=name, decided_at=now, decided_on=today)
        location = reverse("quote-detail", kwargs={"pk": quote.pk}, request=self.request)
        return self.created(quotes_in_full().get(pk=quote.pk), location)
