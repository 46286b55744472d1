"""The stock ledger: places, and moves between them."""

from typing import ClassVar

import pgtrigger
from django.conf import settings
from django.db import models
from django.db.models import F, Q

from shop.models.guards import Guard, append_only
from shop.models.parts import Part
from shop.models.sums import KEEP_SUMS


class PlaceKind(models.TextChoices):
    """What stands behind a place. The first three hold stock; the others are the world outside."""

    SHELF = "shelf", "Shelf"
    VAN = "van", "Van"
    BAG = "bag", "Job bag"
    SUPPLIER = "supplier", "Suppliers"
    USED = "used", "Used"
    SCRAPPED = "scrapped", "Scrapped"
    COUNT_DIFFERENCE = "count_difference", "Count differences"


OWN_KINDS = [PlaceKind.SHELF, PlaceKind.VAN]
HOLDING_KINDS = [*OWN_KINDS, PlaceKind.BAG]
OUTSIDE_KINDS = [kind for kind in PlaceKind if kind not in HOLDING_KINDS]


class Place(models.Model):
    """Where a part can be. There is one place of each outside kind, made with the tables."""

    kind = models.CharField(max_length=20, choices=PlaceKind)
    name = models.CharField(max_length=100, unique=True)
    is_active = models.BooleanField(default=True)

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(
                name="shop_place_kind_known",
                condition=Q(kind__in=PlaceKind.values),
                violation_error_code="kind-unknown",
                violation_error_message="The kind of place is not one that the ledger knows.",
            ),
            models.UniqueConstraint(
                name="shop_place_one_of_each_outside",
                fields=["kind"],
                condition=Q(kind__in=OUTSIDE_KINDS),
                violation_error_code="place-exists",
                violation_error_message="There is one place of this kind already.",
            ),
        ]
        triggers: ClassVar = [
            Guard(
                name="shop_place_kind_fixed",
                code="place-kind-fixed",
                message="A place keeps its kind, since its moves were made under it.",
                operation=pgtrigger.UpdateOf("kind"),
                refuse_when="OLD.kind IS DISTINCT FROM NEW.kind",
            ),
            Guard(
                name="shop_place_closed_empty",
                code="place-not-empty",
                message="Something is still at this place; move it before closing the place.",
                operation=pgtrigger.UpdateOf("is_active"),
                refuse_when=(
                    "NOT NEW.is_active AND EXISTS (SELECT FROM shop_level"
                    " WHERE place_id = NEW.id AND quantity <> 0)"
                ),
            ),
        ]

    def __str__(self) -> str:
        return self.name


class MoveReason(models.TextChoices):
    """Why stock moved."""

    RECEIVED = "received", "Goods received"
    BAGGED = "bagged", "Set aside for a job"
    UNBAGGED = "unbagged", "Returned from a job bag"
    FITTED = "fitted", "Fitted"
    TRANSFERRED = "transferred", "Moved between shelves and vans"
    SCRAPPED = "scrapped", "Scrapped"
    COUNTED = "counted", "Corrected by a count"
    RETURNED = "returned", "Returned to the supplier"
    OPENING = "opening", "Opening stock"


def refuse_new_moves(rule: str, *, code: str, message: str, where: str) -> Guard:
    """Return the guard that refuses a batch of moves when the condition `where` holds for one."""
    return Guard(
        name=f"shop_move_{rule}",
        code=code,
        message=message,
        level=pgtrigger.Statement,
        when=pgtrigger.After,
        operation=pgtrigger.Insert,
        referencing=pgtrigger.Referencing(new="new_moves"),
        refuse_when=f"EXISTS (SELECT FROM new_moves WHERE {where})",
    )


class Move(models.Model):
    """A quantity of one part that went from one place to another. Never changed.

    `value` is what the quantity cost by the moving weighted average (IAS 2), in the shop's
    currency; for goods received it is what they cost. A move between held places has the value it
    carries along.
    """

    # Its index is the one below that goes on with the time.
    part = models.ForeignKey(Part, on_delete=models.PROTECT, related_name="moves", db_index=False)
    from_place = models.ForeignKey(Place, on_delete=models.PROTECT, related_name="moves_out")
    to_place = models.ForeignKey(Place, on_delete=models.PROTECT, related_name="moves_in")
    quantity = models.DecimalField(max_digits=14, decimal_places=3)
    value = models.DecimalField(max_digits=14, decimal_places=3)
    reason = models.CharField(max_length=20, choices=MoveReason)
    reference = models.CharField(max_length=100, blank=True)
    moved_at = models.DateTimeField()
    moved_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+", null=True
    )

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(
                name="shop_move_quantity_positive",
                condition=Q(quantity__gt=0, value__gte=0),
                violation_error_code="quantity-not-positive",
                violation_error_message="A move takes more than nothing, at no negative value.",
            ),
            models.CheckConstraint(
                name="shop_move_between_two_places",
                condition=~Q(from_place=F("to_place")),
                violation_error_code="same-place",
                violation_error_message="A move goes from one place to another.",
            ),
            models.CheckConstraint(
                name="shop_move_reason_known",
                condition=Q(reason__in=MoveReason.values),
                violation_error_code="reason-unknown",
                violation_error_message="The reason of a move is not one that the ledger knows.",
            ),
        ]
        indexes: ClassVar = [
            models.Index(fields=["part", "moved_at", "id"], name="shop_move_by_part"),
            models.Index(fields=["moved_at", "id"], name="shop_move_by_time"),
        ]
        triggers: ClassVar = [
            *append_only("shop_move", "Stock moves"),
            refuse_new_moves(
                "whole_pieces",
                code="quantity-not-whole",
                message="Parts counted in pieces or sheets move in whole numbers.",
                where="""
                    quantity <> trunc(quantity) AND EXISTS (SELECT FROM shop_part
                        WHERE id = part_id AND unit IN ('piece', 'sheet'))
                """,
            ),
            refuse_new_moves(
                "touches_stock",
                code="move-outside-only",
                message="A move starts or ends at a shelf, a van or a job bag.",
                where="""
                    NOT EXISTS (SELECT FROM shop_place WHERE id IN (from_place_id, to_place_id)
                        AND kind IN ('shelf', 'van', 'bag'))
                """,
            ),
            refuse_new_moves(
                "place_open",
                code="place-closed",
                message="The place is closed; nothing can be moved there.",
                where="""
                    EXISTS (SELECT FROM shop_place WHERE id = to_place_id AND NOT is_active)
                """,
            ),
            pgtrigger.Trigger(
                name="shop_move_keeps_levels",
                level=pgtrigger.Statement,
                when=pgtrigger.After,
                operation=pgtrigger.Insert,
                referencing=pgtrigger.Referencing(new="new_moves"),
                func=KEEP_SUMS,
            ),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} of part {self.part_id}"
