"""What the stock moves add up to: levels at places, and holdings over all of them."""

from typing import ClassVar

import pgtrigger
from django.db import models
from django.db.models import Q

from shop.models.guards import Guard, no_truncate
from shop.models.parts import Part
from shop.models.stock import Place


def kept_by_ledger(
    model: str,
    message: str = "Levels and holdings are the sums of the moves; post a move instead.",
) -> list[Guard]:
    """Return the guards that let only triggers write a table of sums, such as the ledger's own."""
    return [
        Guard(
            name=f"{model}_kept_by_ledger",
            code="kept-by-ledger",
            message=message,
            level=pgtrigger.Statement,
            operation=pgtrigger.Insert | pgtrigger.Update | pgtrigger.Delete,
            refuse_when="pg_trigger_depth() < 2",
        ),
        no_truncate(model, message),
    ]


class Level(models.Model):
    """How much of a part is at a place: always the sum of its moves, kept by a trigger.

    Outside places go below zero as stock comes out of them; over all places a part sums to zero.
    """

    # The moves, whose keys are checked, are what this is the sum of: their part and place stay.
    # Their indexes stand below.
    part = models.ForeignKey(
        Part, on_delete=models.PROTECT, related_name="levels", db_index=False, db_constraint=False
    )
    place = models.ForeignKey(
        Place, on_delete=models.PROTECT, related_name="levels", db_index=False, db_constraint=False
    )
    is_held = models.BooleanField()
    quantity = models.DecimalField(max_digits=14, decimal_places=3)

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(
                name="shop_level_one_per_part_and_place",
                fields=["part", "place"],
                violation_error_code="level-exists",
                violation_error_message="A part has one level at a place.",
            ),
            models.CheckConstraint(
                name="shop_level_not_negative",
                condition=Q(is_held=False) | Q(quantity__gte=0),
                violation_error_code="stock-short",
                violation_error_message="The place holds less of the part than that.",
            ),
        ]
        indexes: ClassVar = [
            models.Index(fields=["place", "part"], name="shop_level_by_place"),
        ]
        triggers: ClassVar = kept_by_ledger("shop_level")

    def __str__(self) -> str:
        return f"{self.quantity} of part {self.part_id} at place {self.place_id}"


class Holding(models.Model):
    """What the shop holds of a part over all shelves, vans and bags, and its value at cost.

    It comes and goes with its part, and is locked before any move of the part, which is what keeps
    stock actions in order.
    """

    part = models.OneToOneField(
        Part, on_delete=models.DO_NOTHING, primary_key=True, related_name="holding"
    )
    quantity = models.DecimalField(max_digits=14, decimal_places=3, default=0)
    value = models.DecimalField(max_digits=14, decimal_places=3, default=0)

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(
                name="shop_holding_value_with_quantity",
                condition=Q(quantity__gt=0, value__gte=0) | Q(quantity=0, value=0),
                violation_error_code="value-without-stock",
                violation_error_message="What is held has a value, and nothing held has none.",
            ),
        ]
        triggers: ClassVar = kept_by_ledger("shop_holding")

    def __str__(self) -> str:
        return f"{self.quantity} held of part {self.part_id}"
