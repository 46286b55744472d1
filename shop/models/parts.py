"""What the shop buys, keeps and fits."""

from decimal import Decimal
from typing import ClassVar

import pghistory
import pgtrigger
from django.db import models
from django.db.models import Q

from shop.models.guards import Guard
from shop.models.provenance import CatalogueRow
from shop.models.suppliers import Supplier
from shop.models.taxes import TaxCategory


class PartCategory(models.TextChoices):
    """What a part is, which decides the measures it must carry."""

    CENTRE_PIN = "centre_pin", "Centre pin"
    KEY_PUNCHING = "key_punching", "Key punching"
    BUSHING_CLOTH = "bushing_cloth", "Bushing cloth"
    KEY_PIN = "key_pin", "Key pin"
    SPRING = "spring", "Spring"
    CORD_AND_STRAP = "cord_and_strap", "Cord and strap"
    FELT_AND_LEATHER = "felt_and_leather", "Felt and leather"
    GLUE = "glue", "Glue"
    WIRE_AND_STRING = "wire_and_string", "Wire and string"
    TUNING_PIN = "tuning_pin", "Tuning pin"
    KEY_PART = "key_part", "Key part"
    ACTION_PART = "action_part", "Action part"
    SCREW_AND_HARDWARE = "screw_and_hardware", "Screw and hardware"
    CONSUMABLE = "consumable", "Consumable"
    HUMIDITY = "humidity", "Humidity control"


class SizeScheme(models.TextChoices):
    """Which series a centre pin's number belongs to: both use the same numbers."""

    INCH = "inch", "Inch (20 is 1.270 mm)"
    METRIC = "metric", "Metric (20 is 1.250 mm)"


# In percent: below one half stock would be less than what is expected to be asked for.
SERVICE_LEVELS = (Decimal(50), Decimal("99.99"))


class Unit(models.TextChoices):
    """What a quantity of a part counts."""

    PIECE = "piece", "piece"
    METRE = "metre", "m"
    SQUARE_METRE = "square_metre", "m²"
    MILLILITRE = "millilitre", "ml"
    GRAM = "gram", "g"
    SHEET = "sheet", "sheet"


# What is counted in these moves in whole numbers; the rest is measured.
WHOLE_UNITS = frozenset({Unit.PIECE, Unit.SHEET})


@pghistory.track(
    pghistory.InsertEvent(),
    pghistory.UpdateEvent(),
    pghistory.DeleteEvent(),
    exclude=["shipped_digest"],
)
class Part(CatalogueRow):
    """A part, counted in `unit`, bought in packs of `pack_quantity` units.

    `price` is what a client pays until its first dated price (`PartPrice`), and `cost` what the
    shop expects to pay, each for one unit in the shop's currency. A centre pin is matched by
    `diameter_um` alone, never by its number.
    `service_level_percent` is in how many of its lead times stock should last; null is the shop's.
    """

    category = models.CharField(max_length=30, choices=PartCategory)
    unit = models.CharField(max_length=20, choices=Unit, default=Unit.PIECE)
    pack_quantity = models.DecimalField(max_digits=12, decimal_places=3, default=1)
    size_scheme = models.CharField(max_length=10, choices=SizeScheme, blank=True)
    size_label = models.CharField(max_length=10, blank=True)
    diameter_um = models.PositiveIntegerField(null=True, blank=True)
    thickness_um = models.PositiveIntegerField(null=True, blank=True)
    outer_diameter_um = models.PositiveIntegerField(null=True, blank=True)
    strip_width_mm = models.DecimalField(max_digits=7, decimal_places=2, null=True, blank=True)
    price = models.DecimalField(max_digits=14, decimal_places=4)
    cost = models.DecimalField(max_digits=14, decimal_places=4)
    tax_category = models.ForeignKey(TaxCategory, on_delete=models.PROTECT, related_name="+")
    supplier = models.ForeignKey(
        Supplier, on_delete=models.PROTECT, related_name="parts", null=True, blank=True
    )
    supplier_part_number = models.CharField(max_length=100, blank=True)
    lead_time_days = models.PositiveSmallIntegerField(default=7)
    service_level_percent = models.DecimalField(
        max_digits=4, decimal_places=2, null=True, blank=True
    )
    is_active = models.BooleanField(default=True)

    class Meta(CatalogueRow.Meta):
        constraints: ClassVar = [
            *CatalogueRow.Meta.constraints,
            models.CheckConstraint(
                name="shop_part_category_known",
                condition=Q(category__in=PartCategory.values),
                violation_error_code="category-unknown",
                violation_error_message="The category is not one that the shop keeps.",
            ),
            models.CheckConstraint(
                name="shop_part_unit_known",
                condition=Q(unit__in=Unit.values),
                violation_error_code="unit-unknown",
                violation_error_message=f"The unit is one of {', '.join(Unit.values)}.",
            ),
            models.CheckConstraint(
                name="shop_part_amounts_sensible",
                condition=Q(pack_quantity__gt=0, price__gte=0, cost__gte=0),
                violation_error_code="amount-negative",
                violation_error_message="A pack holds something; price and cost are not negative.",
            ),
            models.CheckConstraint(
                name="shop_part_service_level",
                condition=Q(service_level_percent__isnull=True)
                | Q(service_level_percent__range=SERVICE_LEVELS),
                violation_error_code="service-level-absurd",
                violation_error_message="A service level is 50 to 99.99 %.",
            ),
            models.CheckConstraint(
                name="shop_part_centre_pin_size",
                condition=Q(
                    category=PartCategory.CENTRE_PIN,
                    size_scheme__in=SizeScheme.values,
                    size_label__regex=r"^\d{1,2}(\.5)?$",
                    diameter_um__isnull=False,
                    diameter_um__range=(500, 3000),
                )
                | Q(~Q(category=PartCategory.CENTRE_PIN), size_scheme=""),
                violation_error_code="pin-size-missing",
                violation_error_message=(
                    "A centre pin, and nothing else, has a size scheme, a size in halves and a"
                    " diameter of 500 to 3000 µm."
                ),
            ),
            models.CheckConstraint(
                name="shop_part_punching_measures",
                condition=~Q(category=PartCategory.KEY_PUNCHING)
                | Q(
                    thickness_um__isnull=False,
                    thickness_um__gt=0,
                    outer_diameter_um__isnull=False,
                    outer_diameter_um__gt=0,
                ),
                violation_error_code="punching-measures-missing",
                violation_error_message="A key punching has a thickness and an outer diameter.",
            ),
            models.CheckConstraint(
                name="shop_part_cloth_measures",
                condition=~Q(category=PartCategory.BUSHING_CLOTH)
                | Q(
                    thickness_um__isnull=False,
                    thickness_um__gt=0,
                    strip_width_mm__isnull=False,
                    strip_width_mm__gt=0,
                ),
                violation_error_code="cloth-measures-missing",
                violation_error_message="Bushing cloth has a thickness and a strip width.",
            ),
            models.UniqueConstraint(
                name="shop_part_one_pin_per_size",
                fields=["size_scheme", "size_label"],
                condition=Q(category=PartCategory.CENTRE_PIN, is_active=True),
                violation_error_code="pin-size-exists",
                violation_error_message="An active centre pin of this size exists already.",
            ),
        ]
        indexes: ClassVar = [models.Index(fields=["name", "id"], name="shop_part_by_name")]
        triggers: ClassVar = [
            pgtrigger.Trigger(
                name="shop_part_brings_holding",
                when=pgtrigger.After,
                operation=pgtrigger.Insert,
                func="""
                    INSERT INTO shop_holding (part_id, quantity, value) VALUES (NEW.id, 0, 0);
                    RETURN NULL;
                """,
            ),
            pgtrigger.Trigger(
                name="shop_part_takes_holding",
                when=pgtrigger.Before,
                operation=pgtrigger.Delete,
                func="DELETE FROM shop_holding WHERE part_id = OLD.id; RETURN OLD;",
            ),
            Guard(
                name="shop_part_unit_fixed",
                code="unit-fixed",
                message="A part that has moved keeps its unit; make a new part instead.",
                operation=pgtrigger.UpdateOf("unit"),
                refuse_when=(
                    "OLD.unit IS DISTINCT FROM NEW.unit"
                    " AND EXISTS (SELECT FROM shop_move WHERE part_id = NEW.id)"
                ),
            ),
            Guard(
                name="shop_part_ordered_measures_fixed",
                code="unit-fixed",
                message=(
                    "Offers or orders of this part rest on its unit and strip width; remove the"
                    " offers, or make a new part."
                ),
                operation=pgtrigger.UpdateOf("unit", "strip_width_mm"),
                refuse_when=(
                    "(OLD.unit, OLD.strip_width_mm) IS DISTINCT FROM"
                    " (NEW.unit, NEW.strip_width_mm)"
                    " AND (EXISTS (SELECT FROM shop_supplieroffer WHERE part_id = NEW.id)"
                    " OR EXISTS (SELECT FROM shop_purchaseorderline WHERE part_id = NEW.id))"
                ),
            ),
        ]
