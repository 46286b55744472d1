from decimal import Decimal

import pytest
from django.db import IntegrityError, connection

from shop.models import Holding, Part
from tests.factories.shop import PartFactory, SupplierFactory
from tests.factories.world import stock
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "wrong", "right"),
    [
        ("shop_supplier_has_name", {"name": ""}, {"name": "Bristle"}),
        ("shop_supplier_lead_time", {"lead_time_days": 731}, {"lead_time_days": 730}),
    ],
)
def test_a_supplier_has_a_name_and_delivers_in_time(rule, wrong, right):
    with refused(rule):
        SupplierFactory(**wrong)
    with accepted():
        SupplierFactory(**right)


PIN = {
    "category": "centre_pin",
    "size_scheme": "inch",
    "size_label": "20.5",
    # Source: a half size of the inch scheme is 0.001 inch, and size 20 is 0.050 inch: 1.295 mm.
    "diameter_um": 1295,
}
PUNCHING = {"category": "key_punching", "thickness_um": 130, "outer_diameter_um": 22_200}
CLOTH = {"category": "bushing_cloth", "thickness_um": 1100, "strip_width_mm": Decimal("12.7")}


@pytest.mark.parametrize(
    ("rule", "wrong", "right"),
    [
        ("shop_part_provenance_known", {"provenance": ""}, {"provenance": "estimate"}),
        ("shop_part_category_known", {"category": "pedal"}, {"category": "spring"}),
        ("shop_part_unit_known", {"unit": "yard"}, {"unit": "square_metre"}),
        (
            "shop_part_amounts_sensible",
            {"pack_quantity": 0},
            {"pack_quantity": Decimal("0.001")},
        ),
        ("shop_part_amounts_sensible", {"price": Decimal("-0.0001")}, {"price": 0}),
        ("shop_part_amounts_sensible", {"cost": Decimal("-0.0001")}, {"cost": 0}),
        (
            "shop_part_service_level",
            {"service_level_percent": Decimal("49.99")},
            {"service_level_percent": 50},
        ),
        # A centre pin has a size in a scheme, and a diameter, by which it is matched.
        ("shop_part_centre_pin_size", PIN | {"size_scheme": ""}, PIN),
        ("shop_part_centre_pin_size", PIN | {"size_label": ""}, PIN),
        ("shop_part_centre_pin_size", PIN | {"size_label": "20.25"}, PIN),
        ("shop_part_centre_pin_size", PIN | {"size_label": "20 ½"}, PIN),
        ("shop_part_centre_pin_size", PIN | {"diameter_um": None}, PIN),
        ("shop_part_centre_pin_size", PIN | {"diameter_um": 499}, PIN | {"diameter_um": 500}),
        ("shop_part_centre_pin_size", PIN | {"diameter_um": 3001}, PIN | {"diameter_um": 3000}),
        (
            "shop_part_centre_pin_size",
            {"category": "key_pin", "size_scheme": "inch"},
            {"category": "key_pin", "diameter_um": 3700},
        ),
        ("shop_part_punching_measures", PUNCHING | {"thickness_um": None}, PUNCHING),
        ("shop_part_punching_measures", PUNCHING | {"thickness_um": 0}, PUNCHING),
        ("shop_part_punching_measures", PUNCHING | {"outer_diameter_um": None}, PUNCHING),
        ("shop_part_punching_measures", PUNCHING | {"outer_diameter_um": 0}, PUNCHING),
        ("shop_part_cloth_measures", CLOTH | {"thickness_um": None}, CLOTH),
        ("shop_part_cloth_measures", CLOTH | {"thickness_um": 0}, CLOTH),
        ("shop_part_cloth_measures", CLOTH | {"strip_width_mm": None}, CLOTH),
        ("shop_part_cloth_measures", CLOTH | {"strip_width_mm": 0}, CLOTH),
    ],
)
def test_a_part_carries_what_its_category_needs(rule, wrong, right):
    with refused(rule):
        PartFactory(**wrong)
    with accepted():
        PartFactory(**right)


def test_the_shop_keeps_one_active_pin_of_a_size():
    pin = PartFactory(**PIN)
    with refused("shop_part_one_pin_per_size"):
        PartFactory(**PIN)
    with accepted():
        PartFactory(**PIN, is_active=False)
    with accepted():
        PartFactory(**PIN | {"size_scheme": "metric"})
    with accepted():
        Part.objects.filter(pk=pin.pk).update(is_active=False)
        PartFactory(**PIN)


def test_a_part_that_has_moved_keeps_its_unit():
    moved, unmoved = PartFactory(), PartFactory()
    stock(moved, 3, 1)
    with refused("shop_part_unit_fixed"):
        Part.objects.filter(pk=moved.pk).update(unit="sheet")
    with accepted():
        Part.objects.filter(pk=moved.pk).update(unit="piece", price=9)
    with accepted():
        Part.objects.filter(pk=unmoved.pk).update(unit="sheet")


def test_a_part_brings_its_holding_and_takes_it_along():
    part = PartFactory()
    holding = Holding.objects.get(part=part)
    assert (holding.quantity, holding.value) == (0, 0)
    with accepted(), connection.cursor() as cursor:
        cursor.execute("DELETE FROM shop_part WHERE id = %s", [part.pk])
    assert not Holding.objects.filter(part_id=part.pk).exists()


def test_a_part_that_has_moved_stays_and_keeps_its_holding():
    part = PartFactory()
    stock(part, 3, 2)
    with pytest.raises(IntegrityError) as caught, accepted(), connection.cursor() as cursor:
        cursor.execute("DELETE FROM shop_part WHERE id = %s", [part.pk])
    # 23503 is a foreign key. Source: PostgreSQL documentation, appendix A.
    assert caught.value.__cause__.sqlstate == "23503"
    assert Holding.objects.get(part=part).value == 6
