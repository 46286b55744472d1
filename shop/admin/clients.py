"""Whom the shop works for, where their pianos stand, and when someone goes there."""

from typing import Any

from django.contrib import admin
from django.contrib.postgres.expressions import ArraySubquery
from django.db.models import OuterRef, QuerySet
from django.http import HttpRequest
from django.utils.html import format_html_join
from django.utils.safestring import SafeString

from shop.admin.columns import link
from shop.admin.office import OfficeAdmin, OfficeInline
from shop.models import Client, Instrument, Site, Visit


class SiteInline(OfficeInline):
    """A client's sites."""

    model = Site
    fields = ("name", "street", "city", "postcode", "country", "travel_minutes")
    show_change_link = True


class InstrumentInline(OfficeInline):
    """A site's instruments."""

    model = Instrument
    fields = ("action", "maker", "model", "serial_number", "built_year")
    show_change_link = True


@admin.register(Client)
class ClientAdmin(OfficeAdmin):
    """Clients, found by name, phone, e-mail or city, with their sites and instruments."""

    list_display = ("name", "kind", "contact_name", "phone", "email", "cities")
    list_filter = ("kind",)
    search_fields = ("name", "contact_name", "phone", "email", "sites__city")
    ordering = ("name", "id")
    readonly_fields = ("instruments",)
    inlines = (SiteInline,)

    def get_queryset(self, request: HttpRequest) -> QuerySet[Client]:
        """Return clients with the cities that their sites are in."""
        cities = Site.objects.filter(client=OuterRef("pk")).exclude(city="").order_by("city")
        clients: QuerySet[Client] = super().get_queryset(request)
        return clients.annotate(cities=ArraySubquery(cities.values("city").distinct()))

    @admin.display(description="cities")
    def cities(self, client: Any) -> str:
        """Return where the client's sites are."""
        return ", ".join(client.cities)

    @admin.display(description="instruments")
    def instruments(self, client: Client) -> SafeString:
        """Return links to the client's instruments, by site."""
        rows = Instrument.objects.filter(site__client_id=client.pk).select_related("site")
        return format_html_join(
            "",
            "<div>{}, {}: {}</div>",
            (
                (row.site.name, row.get_action_display(), link(row))
                for row in rows.order_by("site__name", "id")
            ),
        )


@admin.register(Site)
class SiteAdmin(OfficeAdmin):
    """Sites, with their instruments."""

    list_display = ("name", "client", "city", "postcode", "travel_minutes")
    list_select_related = ("client",)
    search_fields = ("name", "city", "postcode", "client__name")
    autocomplete_fields = ("client",)
    ordering = ("name", "id")
    inlines = (InstrumentInline,)


@admin.register(Instrument)
class InstrumentAdmin(OfficeAdmin):
    """Instruments, found by maker, model, serial number, site or client."""

    list_display = ("maker", "model", "serial_number", "action", "site", "client")
    list_filter = ("action",)
    list_select_related = ("site__client",)
    search_fields = ("maker", "model", "serial_number", "site__name", "site__client__name")
    autocomplete_fields = ("site",)
    ordering = ("maker", "model", "id")

    @admin.display(description="client", ordering="site__client__name")
    def client(self, instrument: Instrument) -> Client:
        """Return whose instrument it is."""
        return instrument.site.client


@admin.register(Visit)
class VisitAdmin(OfficeAdmin):
    """Visits, the latest first."""

    list_display = ("starts_at", "ends_at", "technician", "site", "client", "purpose", "status")
    list_filter = ("status", "technician")
    list_select_related = ("technician", "site__client")
    search_fields = ("purpose", "site__name", "site__client__name")
    autocomplete_fields = ("site",)
    date_hierarchy = "starts_at"
    ordering = ("-starts_at", "-id")

    @admin.display(description="client", ordering="site__client__name")
    def client(self, visit: Visit) -> Client:
        """Return whom the visit is for."""
        return visit.site.client
