from decimal import Decimal

import pytest
from django.db import connection

from shop.models import ShopProfile
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db


def test_the_shop_is_one_row_from_the_first_migration_on():
    assert list(ShopProfile.objects.values_list("pk", flat=True)) == [1]
    with refused("shop_shopprofile_only_one"):
        ShopProfile.objects.create(id=2)


def test_the_shop_is_changed_and_never_removed():
    with refused("shop_shopprofile_kept"), connection.cursor() as cursor:
        cursor.execute("DELETE FROM shop_shopprofile")
    with accepted(), connection.cursor() as cursor:
        cursor.execute("UPDATE shop_shopprofile SET name = 'Under the stage'")


@pytest.mark.parametrize(
    ("rule", "wrong", "right"),
    [
        # The defaults are 35, 42 and 55 %.
        (
            "shop_shopprofile_humidity_ordered",
            {"humidity_lowest_percent": Decimal("42.1")},
            {"humidity_lowest_percent": 42},
        ),
        (
            "shop_shopprofile_humidity_ordered",
            {"humidity_highest_percent": Decimal("41.9")},
            {"humidity_highest_percent": 42},
        ),
        (
            "shop_shopprofile_humidity_ordered",
            {"humidity_lowest_percent": Decimal("-0.1")},
            {"humidity_lowest_percent": 0},
        ),
        (
            "shop_shopprofile_humidity_ordered",
            {"humidity_highest_percent": Decimal("100.1")},
            {"humidity_highest_percent": 100},
        ),
        (
            "shop_shopprofile_tax_number",
            {"is_tax_registered": True},
            {"is_tax_registered": True, "tax_number": "PT 000 000 000"},
        ),
        (
            "shop_shopprofile_pin_scheme_known",
            {"pin_size_scheme": "german"},
            {"pin_size_scheme": "metric"},
        ),
        (
            "shop_shopprofile_kit_confidence",
            {"kit_confidence": Decimal("0.499")},
            {"kit_confidence": Decimal("0.5")},
        ),
        (
            "shop_shopprofile_kit_confidence",
            {"kit_confidence": 1},
            {"kit_confidence": Decimal("0.999")},
        ),
        # The example of the IBAN registry (SWIFT), Germany.
        (
            "shop_shopprofile_iban_form",
            {"iban": "DE89 3704 0044 0532 0130 00"},
            {"iban": "DE89370400440532013000"},
        ),
        (
            "shop_shopprofile_tax_rounding_known",
            {"tax_rounding": "never"},
            {"tax_rounding": "line"},
        ),
        (
            "shop_shopprofile_interest_sensible",
            {"late_interest_percent": Decimal("100.01")},
            {"late_interest_percent": 9},
        ),
        (
            "shop_shopprofile_days_sensible",
            {"quote_validity_days": 367},
            {"quote_validity_days": 366},
        ),
        (
            "shop_shopprofile_reordering_sensible",
            {"service_level_percent": Decimal("49.99")},
            {"service_level_percent": 50},
        ),
        (
            "shop_shopprofile_reordering_sensible",
            {"stock_review_days": 367},
            {"stock_review_days": 366},
        ),
        (
            "shop_shopprofile_reordering_sensible",
            {"order_cost": Decimal("-0.001")},
            {"order_cost": 0},
        ),
        (
            "shop_shopprofile_reordering_sensible",
            {"holding_cost_percent": Decimal("100.01")},
            {"holding_cost_percent": 100},
        ),
        ("shop_shopprofile_paper_known", {"paper_size": "foolscap"}, {"paper_size": "letter"}),
        ("shop_shopprofile_language_known", {"language": "xx"}, {"language": "de"}),
        ("shop_shopprofile_days_sensible", {"payment_days": 367}, {"payment_days": 0}),
        (
            "shop_shopprofile_tolerance_sensible",
            {"change_tolerance_percent": Decimal("100.01")},
            {"change_tolerance_percent": 100},
        ),
        (
            "shop_shopprofile_tolerance_sensible",
            {"change_tolerance_amount": Decimal("-0.001")},
            {"change_tolerance_amount": None},
        ),
        ("shop_shopprofile_warranty_sensible", {"warranty_days": 3654}, {"warranty_days": 3653}),
        ("shop_shopprofile_settling", {"settle_days": 6}, {"settle_days": 7}),
        ("shop_shopprofile_settling", {"settle_days": 93}, {"settle_days": 92}),
        ("shop_shopprofile_deposit_sensible", {"deposit_percent": 101}, {"deposit_percent": 100}),
        ("shop_shopprofile_aged_days", {"aged_days": []}, {"aged_days": [30]}),
        ("shop_shopprofile_aged_days", {"aged_days": [0, 30]}, {"aged_days": [1, 30]}),
        ("shop_shopprofile_aged_days", {"aged_days": [30, 14]}, {"aged_days": [14, 30]}),
        ("shop_shopprofile_aged_days", {"aged_days": [30, 30]}, {"aged_days": [30, 31]}),
        (
            "shop_shopprofile_aged_days",
            {"aged_days": [1, 2, 3, 4, 5, 6, 7]},
            {"aged_days": [1, 2, 3, 4, 5, 6]},
        ),
        (
            "shop_shopprofile_labour_cost",
            {"labour_cost_per_hour": -1},
            {"labour_cost_per_hour": None},
        ),
        (
            "shop_shopprofile_cause_sure",
            {"cause_sure_percent": 50},
            {"cause_sure_percent": 51},
        ),
        (
            "shop_shopprofile_cause_sure",
            {"cause_sure_percent": 100},
            {"cause_sure_percent": 99},
        ),
    ],
)
def test_the_shop_has_settings_that_can_be(rule, wrong, right):
    with refused(rule):
        ShopProfile.objects.update(**wrong)
    with accepted():
        ShopProfile.objects.update(**right)
