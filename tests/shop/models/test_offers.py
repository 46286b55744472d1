from decimal import Decimal

import pytest

from shop.models import Part, PriceBreak, Supplier, SupplierOffer
from tests.factories.purchasing import (
    OrderLineFactory,
    PriceBreakFactory,
    SupplierOfferFactory,
)
from tests.factories.shop import PartFactory, SupplierFactory
from tests.refusals import accepted, refused
from tests.shop.models.history import lived_in_raw_sql

pytestmark = pytest.mark.django_db

BY_WEIGHT = {"pack_unit": "pound", "pieces_per_weight": 1700, "weight_unit": "pound"}


@pytest.mark.parametrize(
    ("rule", "wrong", "right"),
    [
        (
            "shop_supplieroffer_pack_holds_something",
            {"contents_numerator": 0},
            {"contents_numerator": 1},
        ),
        (
            "shop_supplieroffer_pack_holds_something",
            {"contents_denominator": 0},
            {"contents_denominator": 3},
        ),
        ("shop_supplieroffer_pack_measured", {"pack_amount": 0}, {"pack_amount": Decimal("0.5")}),
        ("shop_supplieroffer_pack_measured", {"pack_unit": "bucket"}, {"pack_unit": "gross"}),
        ("shop_supplieroffer_pack_measured", {"width_mm": 0}, {"width_mm": 11}),
        ("shop_supplieroffer_count_of_weight", {**BY_WEIGHT, "weight_unit": ""}, BY_WEIGHT),
        ("shop_supplieroffer_count_of_weight", {**BY_WEIGHT, "pieces_per_weight": 0}, BY_WEIGHT),
        (
            "shop_supplieroffer_count_of_weight",
            {**BY_WEIGHT, "pack_unit": "hundred"},
            {**BY_WEIGHT, "pack_unit": "ounce"},
        ),
        (
            "shop_supplieroffer_count_of_weight",
            {**BY_WEIGHT, "pieces_per_weight": None},
            {"pack_unit": "pound"},
        ),
        (
            "shop_supplieroffer_count_of_weight",
            {**BY_WEIGHT, "weight_unit": "metre"},
            {**BY_WEIGHT, "weight_unit": "gram"},
        ),
        ("shop_supplieroffer_lead_time", {"lead_time_days": 731}, {"lead_time_days": 730}),
    ],
)
def test_an_offer_is_of_a_pack_that_holds_something(rule, wrong, right):
    with refused(rule):
        SupplierOfferFactory(**wrong)
    with accepted():
        SupplierOfferFactory(**right)


def test_a_supplier_offers_a_pack_of_a_part_once():
    offer = SupplierOfferFactory()
    same = {"supplier": offer.supplier, "part": offer.part}
    with refused("shop_supplieroffer_one_per_pack"):
        SupplierOfferFactory(**same)
    with accepted():
        SupplierOfferFactory(**same, contents_numerator=1000)
        SupplierOfferFactory(part=offer.part)


def test_an_offer_has_a_price():
    with refused("shop_supplieroffer_has_price"):
        SupplierOfferFactory(price_breaks=[])
    with accepted():
        SupplierOfferFactory()


def test_the_last_price_of_an_offer_stays_as_long_as_the_offer():
    with accepted():
        price = PriceBreakFactory()
    with refused("shop_pricebreak_last_stays"):
        PriceBreak.objects.all().delete()
    with refused("shop_pricebreak_last_stays"):
        PriceBreak.objects.filter(pk=price.pk).update(offer=SupplierOfferFactory(), from_packs=2)
    with accepted():
        PriceBreakFactory(offer=price.offer, from_packs=5)
        price.delete()
    with accepted():
        SupplierOffer.objects.all().delete()


@pytest.mark.parametrize(
    ("wrong", "right"),
    [({"from_packs": 0}, {"from_packs": 1}), ({"price": Decimal("-0.01")}, {"price": 0})],
)
def test_a_price_holds_from_one_pack_on_and_is_not_negative(wrong, right):
    with refused("shop_pricebreak_sensible"):
        PriceBreakFactory(**wrong)
    with accepted():
        PriceBreakFactory(**right)


def test_an_offer_has_one_price_from_so_many_packs_on():
    price = PriceBreakFactory()
    with refused("shop_pricebreak_once"):
        PriceBreakFactory(offer=price.offer)
    with accepted():
        PriceBreakFactory(offer=price.offer, from_packs=2)


@pytest.mark.parametrize(
    "make", [SupplierOfferFactory, OrderLineFactory], ids=["offered", "ordered"]
)
def test_a_part_that_is_offered_or_ordered_keeps_its_unit_and_strip_width(make):
    bound = Part.objects.filter(pk=make(part=PartFactory(bushing_cloth=True)).part_id)
    free = Part.objects.filter(pk=PartFactory(bushing_cloth=True).pk)
    for change in ({"unit": "sheet"}, {"strip_width_mm": 9}):
        with refused("shop_part_ordered_measures_fixed"):
            bound.update(**change)
        with accepted():
            free.update(**change)
    with accepted():
        bound.update(price=9, unit="metre")


def test_a_minimum_order_value_is_not_negative():
    with refused("shop_supplier_minimum_order"):
        SupplierFactory(minimum_order_value=Decimal("-0.01"))
    with accepted():
        SupplierFactory(minimum_order_value=0)
    assert Supplier.objects.get().minimum_order_value == 0


def test_the_history_of_offers_and_prices_is_kept():
    offer = SupplierOfferFactory()
    told = lived_in_raw_sql(
        offer.price_breaks.get(), {"from_packs": 9}, "price", ["4.0000", "5.0000"]
    )
    assert told == [("insert", "4.0000"), ("update", "5.0000"), ("delete", "5.0000")]
