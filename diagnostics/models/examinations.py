"""Examinations of an instrument, and readings of the room it stands in."""

from typing import ClassVar

import pgtrigger
from django.conf import settings
from django.contrib.postgres.fields import ArrayField
from django.db import models
from django.db.models import Q

from shop.models import Instrument, Visit
from shop.models.guards import Guard

# `{followed}` and `{follow_up}` are the two rows.
NOT_A_FOLLOW_UP = """
    {followed}.instrument_id <> {follow_up}.instrument_id
    OR {followed}.examined_at >= {follow_up}.examined_at
"""


class Examination(models.Model):
    """One looking-over of an instrument.

    `notes_examined` are the MIDI numbers actually tried; empty means the whole compass. A
    re-examination `follows` an earlier one, and says whether the room was treated in between.
    """

    instrument = models.ForeignKey(
        Instrument, on_delete=models.PROTECT, related_name="examinations"
    )
    visit = models.ForeignKey(
        Visit, on_delete=models.PROTECT, related_name="examinations", null=True, blank=True
    )
    technician = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="examinations"
    )
    examined_at = models.DateTimeField()
    complaint = models.TextField(blank=True)
    notes_examined = ArrayField(models.PositiveSmallIntegerField(), default=list, blank=True)
    comment = models.TextField(blank=True)
    follows = models.ForeignKey(
        "self", on_delete=models.PROTECT, related_name="follow_ups", null=True, blank=True
    )
    room_was_treated = models.BooleanField(default=False)

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(
                name="diagnostics_examination_treated_since",
                condition=Q(room_was_treated=False) | Q(follows__isnull=False),
                violation_error_code="follows-none",
                violation_error_message="Only a follow-up says that the room was treated since.",
            ),
            models.CheckConstraint(
                name="diagnostics_examination_notes_midi",
                condition=Q(notes_examined__len__lte=128),
                violation_error_code="notes-too-many",
                violation_error_message="At most 128 notes can be examined.",
            ),
        ]
        indexes: ClassVar = [
            models.Index(
                fields=["instrument", "examined_at", "id"], name="diagnostics_exam_by_instrument"
            ),
            models.Index(fields=["examined_at", "id"], name="diagnostics_exam_by_time"),
        ]
        triggers: ClassVar = [
            Guard(
                name="diagnostics_examination_instrument_fixed",
                code="instrument-fixed",
                message="Findings are recorded under this examination; it keeps its instrument.",
                operation=pgtrigger.UpdateOf("instrument_id"),
                refuse_when=(
                    "OLD.instrument_id <> NEW.instrument_id AND EXISTS"
                    " (SELECT FROM diagnostics_finding WHERE examination_id = NEW.id)"
                ),
            ),
            Guard(
                name="diagnostics_examination_follows_earlier",
                code="follows-not-earlier",
                message="A follow-up is of an earlier examination of the same instrument.",
                operation=pgtrigger.Insert
                | pgtrigger.UpdateOf("follows_id", "instrument_id", "examined_at"),
                declare=[("followed", "diagnostics_examination")],
                # Locked, so that it cannot move in time while its follow-up is written.
                before_check="""
                    SELECT * INTO followed FROM diagnostics_examination
                    WHERE id = NEW.follows_id FOR SHARE;
                """,
                refuse_when="NEW.follows_id = NEW.id OR"
                + NOT_A_FOLLOW_UP.format(followed="followed", follow_up="NEW"),
            ),
            Guard(
                name="diagnostics_examination_followed_later",
                code="follows-not-earlier",
                message="Another examination follows this one up; it stays before that.",
                operation=pgtrigger.UpdateOf("instrument_id", "examined_at"),
                refuse_when=f"""EXISTS (
                    SELECT FROM diagnostics_examination AS follow_up
                    WHERE follow_up.follows_id = NEW.id
                      AND ({NOT_A_FOLLOW_UP.format(followed="NEW", follow_up="follow_up")}))
                """,
            ),
        ]

    def __str__(self) -> str:
        return f"examination of {self.examined_at:%Y-%m-%d}"


class ReadingPlace(models.TextChoices):
    """Where the hygrometer stood."""

    ROOM = "room", "In the room"
    INSIDE = "inside", "Inside the instrument"


class RoomReading(models.Model):
    """Temperature and relative humidity at one time."""

    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="readings")
    taken_at = models.DateTimeField()
    place = models.CharField(max_length=10, choices=ReadingPlace, default=ReadingPlace.ROOM)
    temperature_c = models.DecimalField(max_digits=4, decimal_places=1)
    humidity_percent = models.DecimalField(max_digits=4, decimal_places=1)
    taken_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(
                name="diagnostics_roomreading_place_known",
                condition=Q(place__in=ReadingPlace.values),
                violation_error_code="place-unknown",
                violation_error_message="A reading is taken in the room or inside the instrument.",
            ),
            models.CheckConstraint(
                name="diagnostics_roomreading_believable",
                condition=Q(
                    temperature_c__range=(-30, 60),
                    humidity_percent__gt=0,
                    humidity_percent__lte=100,
                ),
                violation_error_code="reading-absurd",
                violation_error_message="A room has -30 to 60 °C and above 0 to 100 % humidity.",
            ),
            models.UniqueConstraint(
                name="diagnostics_roomreading_once",
                fields=["instrument", "place", "taken_at"],
                violation_error_code="reading-exists",
                violation_error_message="There is a reading of this time and place already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.temperature_c} °C, {self.humidity_percent} %"
