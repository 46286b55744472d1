"""The pianos."""

from typing import ClassVar

import pghistory
from django.contrib.postgres.fields import ArrayField
from django.db import models
from django.db.models import F, Q

from shop.models.clients import Site
from shop.models.woods import WoodSpecies

HIGHEST_MIDI = 127
MOST_BREAKS = 5


class Action(models.TextChoices):
    """The kind of action, which decides what can be wrong and how it is reached."""

    UPRIGHT = "upright", "Upright"
    SPINET = "spinet", "Spinet (drop action)"
    GRAND = "grand", "Grand"


@pghistory.track(pghistory.InsertEvent(), pghistory.UpdateEvent(), pghistory.DeleteEvent())
class Instrument(models.Model):
    """One piano. Its compass is stored as MIDI numbers: 88 notes are 21 (A0) to 108 (C8).

    `breaks_midi` are the lowest notes above each break, the gap between two sections of the action;
    empty while nobody has noted them. Of which wood its keys and action parts are is entered by
    whoever knows; makers differ.
    """

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="instruments")
    action = models.CharField(max_length=20, choices=Action)
    maker = models.CharField(max_length=100)
    model = models.CharField(max_length=100, blank=True)
    serial_number = models.CharField(max_length=50, blank=True)
    built_year = models.PositiveSmallIntegerField(null=True, blank=True)
    lowest_midi = models.PositiveSmallIntegerField(default=21)
    highest_midi = models.PositiveSmallIntegerField(default=108)
    breaks_midi = ArrayField(models.PositiveSmallIntegerField(), default=list, blank=True)
    key_covering = models.CharField(max_length=100, blank=True)
    key_wood = models.ForeignKey(
        WoodSpecies, on_delete=models.PROTECT, related_name="+", null=True, blank=True
    )
    action_wood = models.ForeignKey(
        WoodSpecies, on_delete=models.PROTECT, related_name="+", null=True, blank=True
    )
    notes = models.TextField(blank=True)

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(
                name="shop_instrument_action_known",
                condition=Q(action__in=Action.values),
                violation_error_code="action-unknown",
                violation_error_message="The action is upright, spinet or grand.",
            ),
            models.CheckConstraint(
                name="shop_instrument_compass",
                condition=Q(lowest_midi__lt=F("highest_midi"), highest_midi__lte=HIGHEST_MIDI),
                violation_error_code="compass-impossible",
                violation_error_message="The lowest note is below the highest, in MIDI 0 to 127.",
            ),
            models.CheckConstraint(
                name="shop_instrument_breaks_midi",
                condition=Q(
                    breaks_midi__len__lte=MOST_BREAKS,
                    breaks_midi__contained_by=list(range(HIGHEST_MIDI + 1)),
                ),
                violation_error_code="breaks-impossible",
                violation_error_message="An action has at most 5 breaks, in MIDI 0 to 127.",
            ),
            models.CheckConstraint(
                name="shop_instrument_built_year",
                condition=Q(built_year__isnull=True) | Q(built_year__range=(1700, 2100)),
                violation_error_code="year-absurd",
                violation_error_message="The year of building lies between 1700 and 2100.",
            ),
        ]

    def __str__(self) -> str:
        return " ".join(filter(None, [self.maker, self.model, self.serial_number]))
