"""What a part costs the client from a day on."""

from typing import ClassVar

import pghistory
from django.db import models
from django.db.models import Q

from shop.models.parts import Part


@pghistory.track(pghistory.InsertEvent(), pghistory.UpdateEvent(), pghistory.DeleteEvent())
class PartPrice(models.Model):
    """A part's price for one unit from `valid_from` on, until its next one.

    Before the first of them holds the price that the part came with.
    """

    # Its index is that of the unique constraint below.
    part = models.ForeignKey(Part, on_delete=models.CASCADE, related_name="prices", db_index=False)
    price = models.DecimalField(max_digits=14, decimal_places=4)
    valid_from = models.DateField()

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(
                name="shop_partprice_not_negative",
                condition=Q(price__gte=0),
                violation_error_code="amount-negative",
                violation_error_message="A price is not negative.",
            ),
            models.UniqueConstraint(
                name="shop_partprice_day_once",
                fields=["part", "valid_from"],
                violation_error_code="price-overlaps",
                violation_error_message="The part has another price from this day on.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.price} from {self.valid_from}"
