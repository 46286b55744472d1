from datetime import date
from decimal import Decimal

import pytest

from tests.factories.shop import TaxCategoryFactory, TaxRateFactory
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "wrong", "right"),
    [
        ("shop_taxcategory_provenance_known", {"provenance": "hearsay"}, {"provenance": "shop"}),
        # The codes that this shop meets. Source: EN 16931-1, BT-151, from UNTDID 5305.
        ("shop_taxcategory_code_known", {"en16931_code": "AE"}, {"en16931_code": "Z"}),
        ("shop_taxcategory_code_known", {"en16931_code": "s"}, {"en16931_code": "S"}),
        # Which say why. Source: EN 16931-1, BR-E-10, BR-O-10, BR-S-10, BR-Z-10.
        *(
            ("shop_taxcategory_exemption_reasoned", {"en16931_code": code} | wrong, right)
            for code, wrong, right in (
                ("E", {}, {"en16931_code": "E", "exemption_reason": "Lessons"}),
                ("O", {}, {"en16931_code": "O", "exemption_reason": "Not registered"}),
                ("S", {"exemption_reason": "Why not"}, {"en16931_code": "S"}),
                ("Z", {"exemption_reason": "Why not"}, {"en16931_code": "Z"}),
            )
        ),
    ],
)
def test_a_tax_category_has_a_code_and_a_provenance_that_are_known(rule, wrong, right):
    with refused(rule):
        TaxCategoryFactory(**wrong)
    with accepted():
        TaxCategoryFactory(**right)


@pytest.mark.parametrize(
    ("rule", "wrong", "right"),
    [
        ("shop_taxrate_percent_sensible", {"percent": Decimal("-0.001")}, {"percent": 0}),
        ("shop_taxrate_percent_sensible", {"percent": Decimal("100.001")}, {"percent": 100}),
        (
            "shop_taxrate_ends_after_start",
            {"valid_until": date(2000, 1, 1)},
            {"valid_until": date(2000, 1, 2)},
        ),
        (
            "shop_taxrate_ends_after_start",
            {"valid_until": date(1999, 12, 31)},
            {"valid_until": None},
        ),
    ],
)
def test_a_tax_rate_is_a_percentage_of_some_days(rule, wrong, right):
    with refused(rule):
        TaxRateFactory(**wrong)
    with accepted():
        TaxRateFactory(**right)


JULY = {"valid_from": date(2026, 7, 1), "valid_until": date(2026, 8, 1)}


@pytest.mark.parametrize(
    ("overlapping", "touching"),
    [
        (
            {"valid_from": date(2026, 7, 31), "valid_until": None},
            {"valid_from": date(2026, 8, 1), "valid_until": None},
        ),
        (
            {"valid_from": date(2026, 1, 1), "valid_until": date(2026, 7, 2)},
            {"valid_from": date(2026, 1, 1), "valid_until": date(2026, 7, 1)},
        ),
    ],
    ids=["the next", "the one before"],
)
def test_a_category_has_one_rate_on_a_day(overlapping, touching):
    july = TaxRateFactory(**JULY)
    with refused("shop_taxrate_no_overlap"):
        TaxRateFactory(category=july.category, **overlapping)
    with accepted():
        TaxRateFactory(category=july.category, **touching)


def test_a_rate_of_a_place_stands_beside_the_general_one():
    category = TaxRateFactory(**JULY).category
    bavaria = {"country": "DE", "region": "Bavaria"}
    for place in ({"country": "DE"}, bavaria, {"country": "AT", "region": "Bavaria"}):
        with accepted():
            TaxRateFactory(category=category, **JULY, **place)
        with refused("shop_taxrate_no_overlap"):
            TaxRateFactory(category=category, **JULY, **place)
    with refused("shop_taxrate_no_overlap"):
        TaxRateFactory(category=category, **JULY, country="DE", region="BAVARIA")


@pytest.mark.parametrize(
    ("wrong", "right"),
    [
        ({"country": "de"}, {"country": "DE"}),
        ({"region": "Bavaria"}, {"country": "DE", "region": "Bavaria"}),
    ],
    ids=["a country in small letters", "a region of no country"],
)
def test_the_place_of_a_rate_is_a_country_or_a_region_of_one(wrong, right):
    with refused("shop_taxrate_place"):
        TaxRateFactory(**wrong)
    with accepted():
        TaxRateFactory(**right)


def test_two_categories_have_their_own_rates_on_a_day():
    TaxRateFactory(**JULY)
    with accepted():
        TaxRateFactory(**JULY)


def test_a_rate_without_an_end_leaves_no_day_for_another():
    endless = TaxRateFactory(valid_until=None)
    with refused("shop_taxrate_no_overlap"):
        TaxRateFactory(category=endless.category, valid_from=date(2999, 1, 1))
    with accepted():
        type(endless).objects.update(valid_until=date(2999, 1, 1))
        TaxRateFactory(category=endless.category, valid_from=date(2999, 1, 1))
