"""A small API over clients, sites and suppliers, in which every shared behaviour can be seen."""

import time

import django_filters
from django.core.exceptions import PermissionDenied
from django.db import connection
from django.db.models import Count, QuerySet
from django.http import HttpRequest
from django.urls import include, path
from drf_spectacular.views import SpectacularAPIView
from rest_framework import serializers
from rest_framework.response import Response

from shop.errors import FieldError, Refused
from shop.http.field_errors import invalid_input
from shop.http.filters import IdFilter, Order
from shop.http.permissions import EVERYONE, OFFICE, OWNER, grants
from shop.http.records import Changed, Created, Deleted, Listed, Retrieved
from shop.http.routers import ShopRouter
from shop.http.serializers import (
    InstantField,
    RowField,
    RowSerializer,
    StrictSerializer,
    TextField,
)
from shop.http.verbs import report, verb
from shop.http.views import ShopViewSet, Values
from shop.models import Client, ClientKind, Site, Supplier, User
from shop.pages.problems import problem_detail, problem_list
from tests.shop.http.failures import FAILURES

handler400 = "shop.http.error_pages.bad_request"
handler403 = "shop.http.error_pages.permission_denied"
handler404 = "shop.http.error_pages.page_not_found"
handler500 = "shop.http.error_pages.server_error"


class ProbeSupplierInput(StrictSerializer):
    name = TextField(max_length=200, allow_blank=True)
    lead_time_days = serializers.IntegerField(min_value=0, max_value=32767, required=False)
    notes = TextField(multiline=True, required=False, allow_blank=True)


class ProbeSupplierOutput(RowSerializer):
    class Meta:
        model = Supplier
        fields = ("id", "name", "lead_time_days", "notes")


class ProbeSupplierFilter(django_filters.FilterSet):
    name = django_filters.CharFilter(lookup_expr="icontains")
    lead_time_days = django_filters.NumberFilter()
    order = Order(fields=["id", "name", "lead_time_days", "parts_count"])

    class Meta:
        model = Supplier
        fields = ()


class ProbeSupplierViewSet(Listed, Retrieved, Created, Changed, Deleted, ShopViewSet):
    """Suppliers, as a probe of the ready methods."""

    model = Supplier
    roles = grants(read=EVERYONE, write=OFFICE, destroy=OWNER)
    filterset_class = ProbeSupplierFilter
    create_input = change_input = ProbeSupplierInput
    output = ProbeSupplierOutput

    def rows(self) -> QuerySet[Supplier]:
        return Supplier.objects.annotate(parts_count=Count("parts")).order_by("id")

    def add(self, values: Values) -> Supplier:
        return Supplier.objects.create(**values)

    def change(self, row: Supplier, values: Values) -> None:
        for name, value in values.items():
            setattr(row, name, value)
        row.save()

    def remove(self, row: Supplier) -> None:
        row.delete()

    @verb(roles=grants(write=OFFICE))
    def refuse(self) -> Response:
        """Change the row, then refuse."""
        Supplier.objects.filter(pk=self.kwargs["pk"]).update(notes="half done")
        raise Refused("probe-refused", "The probe refuses.")

    @verb(path="wait")
    def wait_a_while(self) -> Response:
        """Add a day to the lead time, slowly."""
        supplier = self.found_and_locked()
        supplier.lead_time_days += 1
        supplier.save()
        time.sleep(float(self.request.headers.get("X-Probe-Seconds", "0")))
        return self.shown(self.found())


class ProbeClientInput(StrictSerializer):
    kind = serializers.ChoiceField(choices=ClientKind.choices)
    name = TextField(max_length=200)
    tags = serializers.ListField(child=TextField(max_length=5), required=False)
    seen_at = InstantField(required=False)
    seen_on = serializers.DateField(required=False)
    amount = serializers.DecimalField(max_digits=6, decimal_places=2, required=False)
    number = serializers.IntegerField(required=False)
    home = RowField(queryset=Site.objects.all(), required=False)


class ProbeClientOutput(RowSerializer):
    class Meta:
        model = Client
        fields = ("id", "kind", "name")


class ProbeAnything(serializers.Serializer):
    how = serializers.CharField(required=False)


class ProbeReportInput(StrictSerializer):
    least = serializers.IntegerField(required=False, min_value=0)


class ProbeClientViewSet(Listed, Retrieved, ShopViewSet):
    """Clients, as a probe of verbs and reports."""

    model = Client
    roles = grants(read=EVERYONE, write=EVERYONE)
    output = ProbeClientOutput

    def rows(self) -> QuerySet[Client]:
        return Client.objects.order_by("name")

    @verb(takes=ProbeClientInput, of_one=False, takes_csv=True, gives_status=201)
    def add(self) -> Response:
        """Add clients, given one by one, as a list or as a sheet."""
        rows, errors = self.checked_rows()
        errors += [
            FieldError(f"{pointer}/name", "name-silly", "That is no name.")
            for pointer, row in rows
            if row["name"] == "nobody"
        ]
        if errors:
            raise invalid_input(tuple(errors))
        made = [
            Client.objects.create(kind=row["kind"], name=row["name"], phone=str(len(row)))
            for _, row in rows
        ]
        return Response(self.represented(made), status=201)

    @verb(takes=ProbeAnything, of_one=False, body_limit_bytes=64)
    def small(self) -> Response:
        """Take a small body."""
        return Response({"length": len(self.request.data)})

    @verb(takes=ProbeAnything, of_one=False)
    def fail(self) -> Response:
        """Store something, then fail in the way that the body names."""
        Client.objects.create(kind=ClientKind.PERSON, name="half done")
        return FAILURES[self.request.data["how"]](self)

    @report(gives=ProbeClientOutput, gives_list=True, gives_csv=True)
    def sheet(self) -> Response:
        """Return clients, as a sheet if wanted."""
        return self.listed(self.rows())

    @report(gives=ProbeReportInput, query=ProbeReportInput)
    def echo(self) -> Response:
        """Return the parameters."""
        return Response(self.checked_query())

    @report(gives=ProbeClientOutput, gives_list=True, model=Site, roles=grants(read=OWNER))
    def owners_only(self) -> Response:
        """Return clients to the owner."""
        return self.listed(self.rows())


class ProbeSiteInput(StrictSerializer):
    name = TextField()


class ProbeSiteFilter(django_filters.FilterSet):
    client = IdFilter()
    country = django_filters.MultipleChoiceFilter(choices=[("AT", "AT"), ("DE", "DE")])

    class Meta:
        model = Site
        fields = ()


class ProbeSiteViewSet(Listed, Retrieved, Changed, ShopViewSet):
    """The sites of a client that may be seen: those with a name in small letters."""

    model = Site
    roles = grants(read=EVERYONE, write=EVERYONE)
    filterset_class = ProbeSiteFilter
    change_input = ProbeSiteInput
    output = ProbeClientOutput

    def rows(self) -> QuerySet[Site]:
        return Site.objects.filter(client_id=self.kwargs["client_id"]).order_by("name")


class ProbeClientRemovalViewSet(Deleted, ShopViewSet):
    """Clients that can be removed, by Django's delete or by plain SQL."""

    model = Client
    roles = grants(write=EVERYONE)
    output = ProbeClientOutput

    def rows(self) -> QuerySet[Client]:
        return Client.objects.all()

    def remove(self, row: Client) -> None:
        if self.request.headers.get("X-Probe-Plain-Sql"):
            with connection.cursor() as cursor:
                cursor.execute("DELETE FROM shop_client WHERE id = %s", [row.pk])
        else:
            row.delete()


class ProbeUserOutput(RowSerializer):
    class Meta:
        model = User
        fields = ("id", "username", "date_joined")


class ProbeUserFilter(django_filters.FilterSet):
    joined = django_filters.DateFromToRangeFilter(field_name="date_joined")
    order = Order(fields=["username", "date_joined", "last_login", "first_name", "id"])

    class Meta:
        model = User
        fields = ()


class ProbeUserViewSet(Listed, Retrieved, ShopViewSet):
    """People, by times and by a column that may be NULL."""

    model = User
    roles = grants(read=EVERYONE)
    filterset_class = ProbeUserFilter
    output = ProbeUserOutput

    def rows(self) -> QuerySet[User]:
        return User.objects.order_by("id")


def _forbidden_page(request: HttpRequest) -> None:
    raise PermissionDenied


router = ShopRouter()
router.register("suppliers", ProbeSupplierViewSet, "supplier")
router.register("clients", ProbeClientViewSet, "client")
router.register("removable-clients", ProbeClientRemovalViewSet, "removable-client")
router.register("clients/(?P<client_id>[0-9]+)/sites", ProbeSiteViewSet, "site")
router.register("users", ProbeUserViewSet, "user")

urlpatterns = [
    path("api/v1/", include(router.urls)),
    path("api/schema", SpectacularAPIView.as_view()),
    path("problems/", problem_list),
    path("problems/<slug:code>", problem_detail),
    path("page-that-fails", lambda _: 1 / 0),
    path("page-for-others", _forbidden_page),
]
