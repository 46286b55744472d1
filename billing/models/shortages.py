"""What done jobs went without: demand that the stock ledger never sees."""

from typing import ClassVar

from django.db import models
from django.db.models import Q

from shop.models import Part
from shop.models.levels import kept_by_ledger
from shop.models.weekly import on_monday

# When a job is done, for NEW quote. A line says what its bag got, and where some of the part was
# left over, nothing of it was missed; what came out before was what an earlier version had wanted
# or another bag was given. The part's week of the quote is written in the order of the
# parts, as everywhere, and last of all.
COUNT_SHORTAGES = """
    INSERT INTO billing_weeklyshortage AS week (part_id, starts_on, quantity)
        SELECT line.part_id, date_trunc('week', NEW.made_at AT TIME ZONE 'UTC')::date,
               line.wanted_quantity - line.taken_quantity
        FROM billing_bagline AS line
        WHERE line.quote_id = NEW.id AND line.taken_quantity < line.wanted_quantity
            AND NOT EXISTS (SELECT FROM shop_move WHERE from_place_id = NEW.bag_id
                AND part_id = line.part_id AND reason = 'unbagged'
                AND moved_at >= NEW.completed_at)
        ORDER BY line.part_id
    ON CONFLICT (starts_on, part_id) DO UPDATE SET quantity = week.quantity + EXCLUDED.quantity;
    RETURN NULL;
"""


class WeeklyShortage(models.Model):
    """What the done jobs that were quoted in a week wanted of a part and never got.

    Kept by a trigger when a quote is completed, after which it never changes.
    """

    part = models.ForeignKey(Part, on_delete=models.PROTECT, related_name="weekly_shortages")
    starts_on = models.DateField()
    quantity = models.DecimalField(max_digits=14, decimal_places=3)

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(
                name="billing_weeklyshortage_one_per_week",
                # In this order, since reports read the latest weeks over all parts.
                fields=["starts_on", "part"],
                violation_error_code="week-exists",
                violation_error_message="A part has one shortage for a week.",
            ),
            models.CheckConstraint(
                name="billing_weeklyshortage_positive",
                condition=Q(quantity__gt=0),
                violation_error_code="quantity-not-positive",
                violation_error_message="What was short is more than nothing.",
            ),
            on_monday("billing_weeklyshortage"),
        ]
        triggers: ClassVar = kept_by_ledger(
            "billing_weeklyshortage", "Shortages are counted when a job is done."
        )

    def __str__(self) -> str:
        return f"{self.quantity} of part {self.part_id}, week of {self.starts_on}"
