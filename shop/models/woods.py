"""Woods that pianos are made of, and how far each moves with its moisture content."""

from decimal import Decimal
from typing import ClassVar

from django.db import models
from django.db.models import F, Q

from shop.models.provenance import CatalogueRow


class WoodSpecies(CatalogueRow):
    """A species of wood.

    A coefficient is the part of its width by which wood grows across the grain for one percent of
    moisture content; total shrinkage is from green to oven-dry, in percent of the green width. Both
    are averages: radial (quarter-sawn) and tangential (plain-sawn).
    """

    radial_coefficient = models.DecimalField(max_digits=6, decimal_places=5)
    tangential_coefficient = models.DecimalField(max_digits=6, decimal_places=5)
    radial_shrinkage_percent = models.DecimalField(max_digits=4, decimal_places=1)
    tangential_shrinkage_percent = models.DecimalField(max_digits=4, decimal_places=1)

    class Meta(CatalogueRow.Meta):
        verbose_name_plural = "wood species"
        constraints: ClassVar = [
            *CatalogueRow.Meta.constraints,
            models.CheckConstraint(
                name="shop_woodspecies_coefficients_ordered",
                condition=Q(
                    radial_coefficient__gt=0,
                    radial_coefficient__lte=F("tangential_coefficient"),
                    tangential_coefficient__lte=Decimal("0.02"),
                ),
                violation_error_code="wood-coefficients-absurd",
                violation_error_message=(
                    "Wood moves least radially: above 0, and at most 0.02 of its width a percent."
                ),
            ),
            models.CheckConstraint(
                name="shop_woodspecies_shrinkage_ordered",
                condition=Q(
                    radial_shrinkage_percent__gt=0,
                    radial_shrinkage_percent__lte=F("tangential_shrinkage_percent"),
                    tangential_shrinkage_percent__lte=30,
                ),
                violation_error_code="wood-shrinkage-absurd",
                violation_error_message="Wood shrinks least radially: above 0 and at most 30 %.",
            ),
        ]
