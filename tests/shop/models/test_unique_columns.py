import pytest

from tests.factories.shop import (
    PartFactory,
    PlaceFactory,
    SupplierFactory,
    TaxCategoryFactory,
    UserFactory,
)
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "factory", "column"),
    [
        ("shop_user_username_key", UserFactory, "username"),
        ("shop_supplier_name_key", SupplierFactory, "name"),
        ("shop_place_name_key", PlaceFactory, "name"),
        ("shop_taxcategory_code_key", TaxCategoryFactory, "code"),
        ("shop_part_code_key", PartFactory, "code"),
    ],
)
def test_there_is_one_row_of_a_name(rule, factory, column):
    factory(**{column: "first"})
    with refused(rule):
        factory(**{column: "first"})
    with accepted():
        factory(**{column: "second"})
