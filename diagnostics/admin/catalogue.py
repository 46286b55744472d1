"""The catalogue of the trade, for the shop to make its own."""

from django.contrib import admin

from diagnostics.models import (
    Cause,
    CauseCheck,
    CauseFault,
    Caution,
    Check,
    Component,
    Fault,
    MeasuredRange,
    PinShare,
    Remedy,
    RemedyPart,
    SetUp,
    Tool,
)
from shop.admin.columns import quantity
from shop.admin.office import CatalogueAdmin, OfficeInline

MINUTES = (
    quantity("minutes_low", "minutes, low"),
    quantity("minutes_likely", "likely"),
    quantity("minutes_high", "high"),
)


@admin.register(Component, Tool, Caution)
class NamedAdmin(CatalogueAdmin):
    """Components, tools and cautions."""


@admin.register(Fault)
class FaultAdmin(CatalogueAdmin):
    """Faults, with the letters that mark them on a drawn keyboard."""

    list_display = ("code", "letter", "name", "family", "provenance")
    list_filter = ("family", "provenance")


@admin.register(SetUp)
class SetUpAdmin(CatalogueAdmin):
    """Set-ups, with their depth and minutes."""

    list_display = ("code", "name", "depth", *MINUTES, "provenance")
    autocomplete_fields = ("cautions",)


@admin.register(Check)
class CheckAdmin(CatalogueAdmin):
    """Checks."""

    list_display = (
        *("code", "name", "scope", "set_up", *MINUTES),
        *(quantity("false_positive_share"), "provenance"),
    )
    list_select_related = ("set_up",)
    autocomplete_fields = ("set_up",)


class RemedyPartInline(OfficeInline):
    """The parts that a remedy needs."""

    model = RemedyPart
    autocomplete_fields = ("part",)


@admin.register(Remedy)
class RemedyAdmin(CatalogueAdmin):
    """Remedies, with their minutes, parts, tools and cautions."""

    list_display = ("code", "name", "charged_per", "set_up", *MINUTES, "provenance")
    list_filter = ("charged_per", "takes_pin_kit", "provenance")
    list_select_related = ("set_up",)
    autocomplete_fields = ("set_up", "tools", "cautions")
    inlines = (RemedyPartInline,)


class CauseCheckInline(OfficeInline):
    """How often each check finds a cause."""

    model = CauseCheck
    autocomplete_fields = ("check_made",)


class CauseFaultInline(OfficeInline):
    """How often a cause shows in each fault."""

    model = CauseFault
    autocomplete_fields = ("fault",)


@admin.register(Cause)
class CauseAdmin(CatalogueAdmin):
    """Causes, with the component, the checks that find them and the remedy."""

    list_display = ("code", "name", "component", "remedy", quantity("prior_weight"), "provenance")
    list_select_related = ("component", "remedy")
    autocomplete_fields = ("component", "remedy")
    inlines = (CauseCheckInline, CauseFaultInline)


@admin.register(MeasuredRange)
class MeasuredRangeAdmin(CatalogueAdmin):
    """Between what values measured quantities should lie."""

    list_display = ("code", "name", "quantity", "section", "low", "high", "judges", "provenance")
    list_filter = ("quantity", "judges", "provenance")
    autocomplete_fields = ("component",)


@admin.register(PinShare)
class PinShareAdmin(CatalogueAdmin):
    """How often each size of centre pin is needed."""

    list_display = ("code", "size_label", quantity("share"), "provenance")
