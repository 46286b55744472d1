"""What was found on an instrument and done to it; technicians record it through the API."""

from typing import Any

from django.contrib import admin
from django.db.models import F, QuerySet
from django.http import HttpRequest
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from diagnostics.models import (
    BenchWork,
    CheckResult,
    Examination,
    Finding,
    FittedPart,
    RoomReading,
)
from diagnostics.queries.examinations import findings_in_full
from diagnostics.queries.instruments import compass_of
from diagnostics.rules.note_names import note_name
from shop.admin.clients import InstrumentAdmin
from shop.admin.columns import link, quantity
from shop.admin.office import ShownAdmin, ShownInline
from shop.models import Client, Instrument

BY_NOTE = (F("note_midi").asc(nulls_first=True), "id")


def note_text(note_midi: int | None, instrument: Instrument) -> str:
    """Return a note by key number and scientific name, such as `40 (C4)`."""
    if note_midi is None:
        return "instrument"
    compass = compass_of(instrument)
    if not compass.contains(note_midi):  # the compass was corrected since
        return f"MIDI {note_midi}"
    return f"{compass.key_number(note_midi)} ({note_name(note_midi, compass)})"


@admin.display(description="note", ordering="note_midi")
def note(row: Any) -> str:
    """Return which note a finding, a check or bench work is about."""
    return note_text(row.note_midi, row.examination.instrument)


@admin.display(description="client", ordering="examination__instrument__site__client__name")
def client(row: Any) -> Any:
    """Return whose instrument a finding or bench work is about."""
    return row.examination.instrument.site.client


@admin.display(description="instrument", ordering="examination__instrument")
def instrument(row: Any) -> Any:
    """Return the instrument that a finding or bench work is about."""
    return row.examination.instrument


admin.site.unregister(Instrument)


@admin.register(Instrument)
class ExaminedInstrumentAdmin(InstrumentAdmin):
    """Instruments, each with its findings by note, those of the newest examination first."""

    readonly_fields = ("findings",)

    @admin.display(description="findings")
    def findings(self, instrument: Instrument) -> SafeString:
        """Return a table of what the notes do."""
        rows = findings_in_full().filter(examination__instrument_id=instrument.pk)
        cells = (
            (
                link(row.examination),
                note_text(row.note_midi, instrument),
                row.fault,
                row.component or "",
                row.cause or "",
                row.remedy or "",
                row.get_severity_display(),
                row.comment,
            )
            for row in rows.order_by("-examination__examined_at", "-examination", *BY_NOTE)
        )
        heads = ("", "note", "fault", "component", "cause", "remedy", "severity", "comment")
        return format_html(
            "<table><thead><tr>{}</tr></thead><tbody>{}</tbody></table>",
            format_html_join("", "<th>{}</th>", ((head,) for head in heads)),
            format_html_join("", f"<tr>{'<td>{}</td>' * len(heads)}</tr>", cells),
        )


class FindingInline(ShownInline):
    """An examination's findings, by note."""

    model = Finding
    fields = (note, "fault", "component", "cause", "remedy", "severity", "comment")
    joined = ("examination__instrument", "fault", "component", "cause", "remedy")

    def get_queryset(self, request: HttpRequest) -> QuerySet[Finding]:
        """Return findings from the lowest note to the highest."""
        return super().get_queryset(request).order_by(*BY_NOTE)


class CheckResultInline(ShownInline):
    """What an examination's checks showed, by note."""

    model = CheckResult
    fields = (note, "check_made", "outcome", "comment")
    joined = ("examination__instrument", "check_made")

    def get_queryset(self, request: HttpRequest) -> QuerySet[CheckResult]:
        """Return results from the lowest note to the highest."""
        return super().get_queryset(request).order_by(*BY_NOTE)


@admin.register(Examination)
class ExaminationAdmin(ShownAdmin):
    """Examinations, newest first, with their findings."""

    list_display = ("examined_at", "instrument", "client", "technician", "complaint")
    list_select_related = ("instrument__site__client", "technician")
    search_fields = ("complaint", "instrument__serial_number", "instrument__site__client__name")
    date_hierarchy = "examined_at"
    ordering = ("-examined_at", "-id")
    inlines = (FindingInline, CheckResultInline)

    @admin.display(description="client", ordering="instrument__site__client__name")
    def client(self, examination: Examination) -> Client:
        """Return whose instrument was examined."""
        return examination.instrument.site.client


@admin.register(Finding)
class FindingAdmin(ShownAdmin):
    """Findings of all instruments, those of the newest examination first, then by note."""

    list_display = (
        "examination",
        instrument,
        client,
        note,
        "fault",
        "component",
        "cause",
        "severity",
    )
    list_filter = ("severity", "fault")
    list_select_related = ("examination__instrument__site__client", "fault", "component", "cause")
    search_fields = ("examination__instrument__serial_number", "fault__name", "cause__name")
    ordering = ("-examination__examined_at", "-examination", *BY_NOTE)


@admin.register(RoomReading)
class RoomReadingAdmin(ShownAdmin):
    """Readings of temperature and humidity, newest first."""

    list_display = (
        "taken_at",
        "instrument",
        "place",
        quantity("temperature_c"),
        quantity("humidity_percent"),
    )
    list_select_related = ("instrument",)
    search_fields = ("instrument__serial_number", "instrument__site__client__name")
    ordering = ("-taken_at", "-id")


class FittedPartInline(ShownInline):
    """The parts that went into the piano."""

    model = FittedPart
    fields = ("part", quantity("quantity"))
    joined = ("part",)


@admin.register(BenchWork)
class BenchWorkAdmin(ShownAdmin):
    """Work done, newest first, with the parts fitted."""

    list_display = (
        "done_at",
        instrument,
        client,
        note,
        "remedy",
        quantity("minutes"),
        "result",
        "done_by",
    )
    list_filter = ("result",)
    list_select_related = ("examination__instrument__site__client", "remedy", "done_by")
    search_fields = ("examination__instrument__serial_number", "remedy__name")
    ordering = ("-done_at", "-id")
    inlines = (FittedPartInline,)
