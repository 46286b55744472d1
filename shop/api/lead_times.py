"""How long a supplier takes, as observed."""

from datetime import timedelta
from decimal import Decimal
from typing import Any

from rest_framework import serializers

from shop.rules.quantities import plain

QUARTER_DAY = timedelta(hours=6)


class DaysField(serializers.DecimalField):
    """One of the three `lead_times` of a row, in days, null when nothing was received."""

    def __init__(self, index: int) -> None:
        super().__init__(max_digits=6, decimal_places=2, source="*", allow_null=True)
        self.index = index

    def to_representation(self, value: Any) -> Any:
        """Return the days as text."""
        if not value.lead_times:
            return None
        # Between whole days a quartile falls on a quarter.
        return plain(Decimal(value.lead_times[self.index] // QUARTER_DAY) / 4)


class ObservedLeadTimeOutput(serializers.Serializer[Any]):
    """Calendar days from sending an order to each receipt: the median and the middle half."""

    receipt_count = serializers.IntegerField()
    lower_quartile_days = DaysField(0)
    median_days = DaysField(1)
    upper_quartile_days = DaysField(2)
