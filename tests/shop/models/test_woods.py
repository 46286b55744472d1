from decimal import Decimal

import pytest
from django.db.models import ProtectedError

from tests.factories.shop import InstrumentFactory, WoodSpeciesFactory
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "wrong", "right"),
    [
        (
            "shop_woodspecies_provenance_known",
            {"provenance": "hearsay"},
            {"provenance": "published"},
        ),
        (
            "shop_woodspecies_coefficients_ordered",
            {"radial_coefficient": 0},
            {"radial_coefficient": Decimal("0.00001")},
        ),
        (
            "shop_woodspecies_coefficients_ordered",
            {"radial_coefficient": Decimal("0.00432")},
            {"radial_coefficient": Decimal("0.00431")},
        ),
        (
            "shop_woodspecies_coefficients_ordered",
            {"tangential_coefficient": Decimal("0.02001")},
            {"tangential_coefficient": Decimal("0.02")},
        ),
        (
            "shop_woodspecies_shrinkage_ordered",
            {"radial_shrinkage_percent": 0},
            {"radial_shrinkage_percent": Decimal("0.1")},
        ),
        (
            "shop_woodspecies_shrinkage_ordered",
            {"radial_shrinkage_percent": 12},
            {"radial_shrinkage_percent": Decimal("11.9")},
        ),
        (
            "shop_woodspecies_shrinkage_ordered",
            {"tangential_shrinkage_percent": Decimal("30.1")},
            {"tangential_shrinkage_percent": 30},
        ),
    ],
)
def test_a_wood_moves_least_radially_and_within_reason(rule, wrong, right):
    with refused(rule):
        WoodSpeciesFactory(**wrong)
    with accepted():
        WoodSpeciesFactory(**right)


def test_woods_have_codes_of_their_own():
    WoodSpeciesFactory(code="lime")
    with refused("shop_woodspecies_code_key"):
        WoodSpeciesFactory(code="lime")


def test_a_wood_that_a_piano_is_made_of_is_kept():
    wood = WoodSpeciesFactory()
    InstrumentFactory(key_wood=wood)
    with pytest.raises(ProtectedError):
        wood.delete()
