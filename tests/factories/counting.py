from decimal import Decimal

import factory

from shop import models
from tests.factories.shop import PartFactory, PlaceFactory, RowFactory, UserFactory
from tests.factories.world import NOW


class CountSheetFactory(RowFactory):
    """An open sheet of a van, without lines."""

    class Meta:
        model = models.CountSheet

    place = factory.SubFactory(PlaceFactory)
    frozen_at = NOW
    frozen_by = factory.SubFactory(UserFactory)


class CountSheetLineFactory(RowFactory):
    """Ten expected, not counted yet."""

    class Meta:
        model = models.CountSheetLine

    sheet = factory.SubFactory(CountSheetFactory)
    part = factory.SubFactory(PartFactory)
    expected_quantity = Decimal(10)
