"""What suppliers offer: their packs of a part, and what a pack costs by how many are bought."""

from typing import ClassVar

import pghistory
import pgtrigger
from django.db import models
from django.db.models import Q

from shop.models.guards import Guard
from shop.models.parts import Part
from shop.models.suppliers import LONGEST_LEAD_TIME_DAYS, Supplier
from shop.rules.units import UNITS, WEIGHTS


class PackContents(models.Model):
    """How many stock units of its part a pack holds, as an exact fraction in lowest terms."""

    contents_numerator = models.DecimalField(max_digits=40, decimal_places=0)
    contents_denominator = models.DecimalField(max_digits=40, decimal_places=0)

    class Meta:
        abstract = True
        constraints: ClassVar = [
            models.CheckConstraint(
                name="%(app_label)s_%(class)s_pack_holds_something",
                condition=Q(contents_numerator__gt=0, contents_denominator__gt=0),
                violation_error_code="pack-empty",
                violation_error_message="A pack holds something.",
            ),
        ]


@pghistory.track(pghistory.InsertEvent(), pghistory.UpdateEvent(), pghistory.DeleteEvent())
class SupplierOffer(PackContents):
    """A pack of a part as a supplier sells it: `pack_amount` of `pack_unit`.

    Cloth has the width of its strip or sheet, whose length is the amount. Small parts sold by
    weight have the count that one `weight_unit` holds, as the supplier states it. A lead time that
    is null is the one that the supplier states for all.
    """

    # Its index is that of the unique constraint below.
    supplier = models.ForeignKey(
        Supplier, on_delete=models.PROTECT, related_name="offers", db_index=False
    )
    part = models.ForeignKey(Part, on_delete=models.PROTECT, related_name="offers")
    supplier_part_number = models.CharField(max_length=100, blank=True)
    pack_amount = models.DecimalField(max_digits=12, decimal_places=4)
    pack_unit = models.CharField(
        max_length=30, choices=[(name, unit.label) for name, unit in UNITS.items()]
    )
    width_mm = models.DecimalField(max_digits=9, decimal_places=3, null=True, blank=True)
    pieces_per_weight = models.DecimalField(max_digits=12, decimal_places=3, null=True, blank=True)
    weight_unit = models.CharField(
        max_length=30, choices=[(name, UNITS[name].label) for name in WEIGHTS], blank=True
    )
    lead_time_days = models.PositiveSmallIntegerField(null=True, blank=True)

    class Meta:
        constraints: ClassVar = [
            *PackContents.Meta.constraints,
            models.CheckConstraint(
                name="shop_supplieroffer_pack_measured",
                condition=Q(pack_amount__gt=0, pack_unit__in=list(UNITS))
                & (Q(width_mm__isnull=True) | Q(width_mm__gt=0)),
                violation_error_code="pack-empty",
                violation_error_message="A pack is more than nothing of a unit that is known.",
            ),
            models.CheckConstraint(
                name="shop_supplieroffer_count_of_weight",
                condition=Q(pieces_per_weight__isnull=True, weight_unit="")
                | Q(
                    pieces_per_weight__isnull=False,
                    pieces_per_weight__gt=0,
                    weight_unit__in=WEIGHTS,
                    pack_unit__in=WEIGHTS,
                ),
                violation_error_code="count-without-weight",
                violation_error_message=(
                    "What is sold by weight may say how many pieces a weight holds."
                ),
            ),
            models.CheckConstraint(
                name="shop_supplieroffer_lead_time",
                condition=Q(lead_time_days__isnull=True)
                | Q(lead_time_days__lte=LONGEST_LEAD_TIME_DAYS),
                violation_error_code="lead-time-absurd",
                violation_error_message="A lead time is at most 730 days.",
            ),
            models.UniqueConstraint(
                name="shop_supplieroffer_one_per_pack",
                fields=["supplier", "part", "contents_numerator", "contents_denominator"],
                violation_error_code="offer-exists",
                violation_error_message="The supplier offers a pack of this part and size already.",
            ),
        ]
        triggers: ClassVar = [
            Guard(
                name="shop_supplieroffer_has_price",
                code="price-missing",
                message="An offer has a price.",
                when=pgtrigger.After,
                timing=pgtrigger.Deferred,
                operation=pgtrigger.Insert,
                refuse_when=(
                    "EXISTS (SELECT FROM shop_supplieroffer WHERE id = NEW.id)"
                    " AND NOT EXISTS (SELECT FROM shop_pricebreak WHERE offer_id = NEW.id)"
                ),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.supplier_part_number or self.part_id} of supplier {self.supplier_id}"


@pghistory.track(pghistory.InsertEvent(), pghistory.UpdateEvent(), pghistory.DeleteEvent())
class PriceBreak(models.Model):
    """What one pack costs whoever buys at least `from_packs`, in the shop's currency before tax."""

    # Its index is that of the unique constraint below.
    offer = models.ForeignKey(
        SupplierOffer, on_delete=models.CASCADE, related_name="price_breaks", db_index=False
    )
    from_packs = models.PositiveIntegerField()
    price = models.DecimalField(max_digits=14, decimal_places=4)

    class Meta:
        ordering: ClassVar = ["from_packs"]
        constraints: ClassVar = [
            models.CheckConstraint(
                name="shop_pricebreak_sensible",
                condition=Q(from_packs__gte=1, price__gte=0),
                violation_error_code="amount-negative",
                violation_error_message="A price holds from one pack on and is not negative.",
            ),
            models.UniqueConstraint(
                name="shop_pricebreak_once",
                fields=["offer", "from_packs"],
                violation_error_code="price-break-exists",
                violation_error_message="An offer has one price from so many packs on.",
            ),
        ]
        triggers: ClassVar = [
            Guard(
                name="shop_pricebreak_last_stays",
                code="price-missing",
                message="An offer has a price.",
                when=pgtrigger.After,
                timing=pgtrigger.Deferred,
                operation=pgtrigger.UpdateOf("offer_id") | pgtrigger.Delete,
                refuse_when=(
                    "EXISTS (SELECT FROM shop_supplieroffer WHERE id = OLD.offer_id)"
                    " AND NOT EXISTS (SELECT FROM shop_pricebreak WHERE offer_id = OLD.offer_id)"
                ),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.price} from {self.from_packs} on"
