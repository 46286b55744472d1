"""The catalogue of the trade: what a piano has, does, suffers from, and how it is put right."""

from decimal import Decimal
from typing import ClassVar

from django.contrib.postgres.fields import ArrayField
from django.db import models
from django.db.models import F, Q

from diagnostics.models.quantities import Quantity
from shop.models import Action, CatalogueRow, Part


def minutes_field() -> "models.DecimalField[Decimal | float | str, Decimal]":
    """Return a column of minutes to one decimal, at most 9999.9."""
    return models.DecimalField(max_digits=5, decimal_places=1)


MINUTES_ORDERED = models.CheckConstraint(
    name="%(app_label)s_%(class)s_minutes_ordered",
    condition=Q(
        minutes_low__gte=0,
        minutes_low__lte=F("minutes_likely"),
        minutes_likely__lte=F("minutes_high"),
    ),
    violation_error_code="minutes-disordered",
    violation_error_message="Minutes run low, likely, high, none of them negative.",
)


class ActionRow(CatalogueRow):
    """A catalogue row that holds for the kinds of action in `actions`."""

    actions = ArrayField(models.CharField(max_length=20, choices=Action))

    class Meta(CatalogueRow.Meta):
        abstract = True
        constraints: ClassVar = [
            *CatalogueRow.Meta.constraints,
            models.CheckConstraint(
                name="%(app_label)s_%(class)s_actions_known",
                condition=Q(actions__contained_by=Action.values, actions__len__gt=0),
                violation_error_code="action-unknown",
                violation_error_message="Actions are one or more of upright, spinet and grand.",
            ),
        ]


class Component(ActionRow):
    """A part of the piano that a finding can point at."""


class FaultFamily(models.TextChoices):
    """Faults that belong together: where they stand on the keyboard is looked at as one."""

    TIGHT = "tight", "Tight or slow to return"
    BLOCKED = "blocked", "Blocked or rubbing"
    SILENT = "silent", "Silent"
    STRIKE = "strike", "Strikes wrongly"
    DAMPING = "damping", "Does not stop sounding"
    TOUCH = "touch", "Uneven touch"
    NOISE = "noise", "Noisy or loose"
    TONE = "tone", "Tone or pitch"
    DAMAGE = "damage", "Damaged"
    PEDAL = "pedal", "Pedals"
    OTHER = "other", "Other"


class Fault(ActionRow):
    """What a note does that it should not; `letter` marks it on a drawn keyboard."""

    letter = models.CharField(max_length=1, unique=True)
    family = models.CharField(max_length=10, choices=FaultFamily, default=FaultFamily.OTHER)
    description = models.TextField(blank=True)

    class Meta(ActionRow.Meta):
        constraints: ClassVar = [
            *ActionRow.Meta.constraints,
            models.CheckConstraint(
                name="diagnostics_fault_letter_drawable",
                condition=Q(letter__regex=r"^[^[:punct:][:space:][:cntrl:]]$"),
                violation_error_code="letter-not-drawable",
                violation_error_message="A fault is marked by one letter or digit.",
            ),
            models.CheckConstraint(
                name="diagnostics_fault_family_known",
                condition=Q(family__in=FaultFamily.values),
                violation_error_code="family-unknown",
                violation_error_message="There is no such family of faults.",
            ),
        ]


class Caution(CatalogueRow):
    """What can hurt someone or touches the law. It never states a legal conclusion."""

    text = models.TextField()
    topics = ArrayField(models.CharField(max_length=40), default=list, blank=True)


class SetUp(ActionRow):
    """Getting at the work: charged once, however much is done behind it.

    A deeper set-up of the same action includes every shallower one. Minutes are a three-point
    estimate.
    """

    depth = models.PositiveSmallIntegerField()
    minutes_low = minutes_field()
    minutes_likely = minutes_field()
    minutes_high = minutes_field()
    cautions = models.ManyToManyField(Caution, related_name="set_ups", blank=True)

    class Meta(ActionRow.Meta):
        constraints: ClassVar = [*ActionRow.Meta.constraints, MINUTES_ORDERED]


class Tool(CatalogueRow):
    """What a remedy is done with."""


class ChargedPer(models.TextChoices):
    """What a remedy's minutes and parts are counted by."""

    NOTE = "note", "Each note"
    INSTRUMENT = "instrument", "The instrument, once"


class Check(ActionRow):
    """A test that tells causes apart, made on one note or on the whole instrument.

    `measures` are the quantities that it is made to measure. `false_positive_share` is how often it
    is positive when none of its causes is there.
    `restates_room_and_spread` marks one that reads nothing else: once those are measured, its
    result says nothing new. `starts_a_visit` marks what is asked and looked at on every visit,
    before anything is opened.
    """

    scope = models.CharField(max_length=20, choices=ChargedPer)
    false_positive_share = models.DecimalField(
        max_digits=5, decimal_places=4, default=Decimal("0.10")
    )
    restates_room_and_spread = models.BooleanField(default=False)
    starts_a_visit = models.BooleanField(default=False)
    measures = ArrayField(
        models.CharField(max_length=20, choices=Quantity), default=list, blank=True
    )
    instruction = models.TextField()
    reads_as = models.TextField(blank=True)
    set_up = models.ForeignKey(SetUp, on_delete=models.PROTECT, related_name="checks")
    minutes_low = minutes_field()
    minutes_likely = minutes_field()
    minutes_high = minutes_field()

    class Meta(ActionRow.Meta):
        constraints: ClassVar = [
            *ActionRow.Meta.constraints,
            MINUTES_ORDERED,
            models.CheckConstraint(
                name="diagnostics_check_scope_known",
                condition=Q(scope__in=ChargedPer.values),
                violation_error_code="scope-unknown",
                violation_error_message="A check is made on a note or on the instrument.",
            ),
            models.CheckConstraint(
                name="diagnostics_check_measures_known",
                condition=Q(measures__contained_by=Quantity.values),
                violation_error_code="quantity-unknown",
                violation_error_message="A check measures quantities that findings have.",
            ),
            models.CheckConstraint(
                name="diagnostics_check_false_positive_within",
                condition=Q(false_positive_share__gt=0, false_positive_share__lt=1),
                violation_error_code="share-absurd",
                violation_error_message="False positives are a share between 0 and 1.",
            ),
        ]


class Remedy(ActionRow):
    """What puts a cause right, with its minutes, parts, tools and cautions.

    Minutes are per note or per instrument, as `charged_per` says, beside the set-up's.
    `takes_pin_kit` marks work whose centre-pin size is known at the bench only, `pins_per_note` of
    them a note. `treats_room` marks what steadies the air that the instrument stands in.
    """

    description = models.TextField(blank=True)
    set_up = models.ForeignKey(SetUp, on_delete=models.PROTECT, related_name="remedies")
    charged_per = models.CharField(max_length=20, choices=ChargedPer)
    minutes_low = minutes_field()
    minutes_likely = minutes_field()
    minutes_high = minutes_field()
    takes_pin_kit = models.BooleanField(default=False)
    pins_per_note = models.PositiveSmallIntegerField(default=0)
    treats_room = models.BooleanField(default=False)
    parts: "models.ManyToManyField[Part, RemedyPart]" = models.ManyToManyField(
        Part, through="RemedyPart", related_name="remedies"
    )
    tools = models.ManyToManyField(Tool, related_name="remedies", blank=True)
    cautions = models.ManyToManyField(Caution, related_name="remedies", blank=True)

    class Meta(ActionRow.Meta):
        verbose_name_plural = "remedies"
        constraints: ClassVar = [
            *ActionRow.Meta.constraints,
            MINUTES_ORDERED,
            models.CheckConstraint(
                name="diagnostics_remedy_charged_per_known",
                condition=Q(charged_per__in=ChargedPer.values),
                violation_error_code="charged-per-unknown",
                violation_error_message="A remedy is charged per note or per instrument.",
            ),
            models.CheckConstraint(
                name="diagnostics_remedy_pins_with_kit",
                condition=Q(takes_pin_kit=True, pins_per_note__range=(1, 20))
                | Q(takes_pin_kit=False, pins_per_note=0),
                violation_error_code="pins-without-kit",
                violation_error_message="Work that takes a kit of pins says how many a note needs.",
            ),
            models.CheckConstraint(
                name="diagnostics_remedy_room_once",
                condition=Q(treats_room=False) | Q(charged_per=ChargedPer.INSTRUMENT),
                violation_error_code="room-treated-twice",
                violation_error_message="A room is treated once for the instrument.",
            ),
        ]


class RemedyPart(models.Model):
    """How much of a part a remedy needs, per note or per instrument as the remedy is charged."""

    remedy = models.ForeignKey(Remedy, on_delete=models.CASCADE, related_name="remedy_parts")
    part = models.ForeignKey(Part, on_delete=models.PROTECT, related_name="remedy_parts")
    quantity = models.DecimalField(max_digits=10, decimal_places=3)

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(
                name="diagnostics_remedypart_once",
                fields=["remedy", "part"],
                violation_error_code="part-named-twice",
                violation_error_message="A remedy names each part once.",
            ),
            models.CheckConstraint(
                name="diagnostics_remedypart_quantity_positive",
                condition=Q(quantity__gt=0),
                violation_error_code="quantity-not-positive",
                violation_error_message="A remedy needs more than nothing of a part.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} of part {self.part_id}"


class PinShare(CatalogueRow):
    """How often a centre of unknown size turns out to need pins of `size_label`: 0 to 1."""

    size_label = models.CharField(max_length=10, unique=True)
    share = models.DecimalField(max_digits=5, decimal_places=4)

    class Meta(CatalogueRow.Meta):
        constraints: ClassVar = [
            *CatalogueRow.Meta.constraints,
            models.CheckConstraint(
                name="diagnostics_pinshare_within_one",
                condition=Q(share__gt=0, share__lte=1),
                violation_error_code="share-absurd",
                violation_error_message="A share lies above 0 and is at most 1.",
            ),
            models.CheckConstraint(
                name="diagnostics_pinshare_size_in_halves",
                condition=Q(size_label__regex=r"^\d{1,2}(\.5)?$"),
                violation_error_code="pin-size-unknown",
                violation_error_message="A size is a number in halves, such as 20 or 20.5.",
            ),
        ]
