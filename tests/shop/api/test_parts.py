from decimal import Decimal

import pytest

from shop.models import Part, PartPrice, Supplier
from tests.factories.shop import (
    PartFactory,
    PlaceFactory,
    SupplierFactory,
    TaxCategoryFactory,
)
from tests.factories.world import stock
from tests.shop.api.conftest import code_of, wrong

SHOWN_TO_ALL = {
    *("id", "code", "name", "category", "unit", "pack_quantity", "size_scheme", "size_label"),
    *("diameter_um", "thickness_um", "outer_diameter_um", "strip_width_mm", "price"),
    *("tax_category", "supplier", "supplier_part_number", "lead_time_days"),
    *("service_level_percent", "is_active"),
    *("provenance", "source", "on_hand", "in_bags"),
}
SHOWN_TO_THE_OFFICE = SHOWN_TO_ALL | {"cost", "held_value", "average_cost"}


def a_part(**values):
    plain = {
        "code": "damper-spring",
        "name": "Damper spring",
        "category": "spring",
        "price": "0.80",
        "cost": "0.3125",
        "tax_category": TaxCategoryFactory(code="goods").code,
    }
    return {**plain, **values}


def a_pin(**values):
    # Size 20 of the inch scheme is 0.0500 in, 1270 µm (the sizes of music wire, common practice).
    size = {"size_scheme": "inch", "size_label": "20", "diameter_um": 1270}
    return a_part(code="pin-20", name="Centre pin 20", category="centre_pin", **size | values)


def test_a_part_is_added_read_changed_and_removed(office):
    supplier = SupplierFactory()
    body = a_pin(
        unit="piece",
        pack_quantity="500",
        supplier=supplier.pk,
        supplier_part_number="CP20",
        lead_time_days=14,
        is_active=True,
    )
    made = office.post("parts", body)
    assert {name: made[name] for name in body} == body
    assert (made["provenance"], made["on_hand"], made["in_bags"]) == ("shop", "0", "0")
    assert (made["held_value"], made["average_cost"]) == ("0.00", None)
    assert office.get("parts/pin-20") == made
    assert office.change("parts/pin-20", {"price": "0.85"}) == {**made, "price": "0.85"}
    assert PartPrice.objects.get().price == Decimal("0.85")
    office.remove("parts/pin-20")
    assert not Part.objects.exists()
    assert code_of(office.get("parts/pin-20", 404)) == "not-found"


def test_where_a_new_part_is_has_its_code(office):
    response = office("POST", "parts", a_part())
    assert response["Location"].endswith("/api/v1/parts/damper-spring")


@pytest.mark.parametrize(
    ("field", "value", "code"),
    [
        ("code", "Damper spring", "invalid"),
        ("code", "damper\x00", "character-not-allowed"),
        ("category", "harp", "invalid-choice"),
        ("unit", "ounce", "invalid-choice"),
        ("price", "-0.01", "min-value"),
        ("price", "1e30", "max-digits"),
        ("price", "0.00001", "max-decimal-places"),
        ("price", "NaN", "invalid"),
        ("pack_quantity", "0", "min-value"),
        ("diameter_um", -1270, "min-value"),
        ("diameter_um", 10**20, "number-too-large"),
        ("strip_width_mm", "0", "min-value"),
        ("tax_category", "harp", "does-not-exist"),
        ("tax_category", "\x00", "character-not-allowed"),
        ("tax_category", ["goods"], "does-not-exist"),
        ("supplier", 999, "does-not-exist"),
        ("lead_time_days", 731, "max-value"),
        ("on_hand", "5", "unknown-member"),
    ],
)
def test_a_part_with_a_value_that_cannot_be_right_is_refused(office, field, value, code):
    assert wrong(office.post("parts", a_part(**{field: value}), 400)) == [(f"/{field}", code)]
    assert not Part.objects.exists()


@pytest.mark.parametrize(
    ("values", "code"),
    [
        ({"category": "centre_pin"}, "pin-size-missing"),
        ({"category": "key_punching", "thickness_um": 130}, "punching-measures-missing"),
        ({"category": "bushing_cloth", "thickness_um": 1100}, "cloth-measures-missing"),
    ],
)
def test_a_category_demands_its_measures(office, values, code):
    assert code_of(office.post("parts", a_part(**values), 409)) == code
    assert not Part.objects.exists()


def test_there_is_one_part_of_a_code_and_one_pin_of_a_size(office):
    body = a_pin()
    office.post("parts", body)
    other_size = {**body, "size_label": "20.5", "diameter_um": 1295}
    assert code_of(office.post("parts", other_size, 409)) == "already-exists"
    assert code_of(office.post("parts", {**body, "code": "pin-twenty"}, 409)) == "pin-size-exists"
    assert Part.objects.count() == 1


def test_the_code_of_a_part_never_changes(office):
    part = PartFactory()
    problem = office.change(f"parts/{part.code}", {"code": "another"}, 400)
    assert wrong(problem) == [("/code", "unknown-member")]


def test_a_part_that_has_moved_stays_and_keeps_its_unit(office):
    part = PartFactory()
    stock(part, 5, 1)
    assert code_of(office.remove(f"parts/{part.code}", 409)) == "in-use"
    assert code_of(office.change(f"parts/{part.code}", {"unit": "metre"}, 409)) == "unit-fixed"
    assert office.change(f"parts/{part.code}", {"is_active": False})["is_active"] is False


def test_costs_are_shown_to_the_office_and_the_owner_alone(technician, office, owner):
    part = PartFactory()
    stock(part, 4, 2)
    stock(part, 2, 5, place=PlaceFactory(bag=True))
    path = f"parts/{part.code}"
    assert set(technician.get(path)) == SHOWN_TO_ALL
    assert set(technician.get("parts")["items"][0]) == SHOWN_TO_ALL
    for caller in (office, owner):
        shown = caller.get(path)
        assert set(shown) == SHOWN_TO_THE_OFFICE
        assert caller.get("parts")["items"] == [shown]
        # 4 at 2 and 2 at 5 are 6 at 18, 3 each (weighted average cost: IAS 2 paragraph 27).
        assert (shown["held_value"], shown["average_cost"]) == ("18.00", "3.00")
        assert (shown["on_hand"], shown["in_bags"]) == ("4", "2")


def test_parts_are_found_by_words_category_supplier_and_activity(technician):
    supplier = SupplierFactory()
    pin = PartFactory(
        centre_pin=True, code="pin-odd", name="Odd pin", supplier=supplier, is_active=False
    )
    PartFactory(code="other", name="Other")
    for query in (
        "search=ODD",
        "search=pin-",
        "category=centre_pin",
        f"supplier={supplier.pk}",
        "is_active=false",
    ):
        found = technician.get(f"parts?{query}")["items"]
        assert [row["id"] for row in found] == [pin.pk], query
    assert [row["code"] for row in technician.get("parts?order=-code")["items"]] == [
        "pin-odd",
        "other",
    ]


def test_a_supplier_is_added_read_changed_and_removed(office):
    body = {
        "name": "Felt and Wire Cooperative",
        "email": "felt@wire.example",
        "phone": "02 345",
        "lead_time_days": 10,
        "notes": "",
    }
    made = office.post("suppliers", body)
    assert {name: made[name] for name in body} == body
    assert made["id"] == Supplier.objects.get().pk
    path = f"suppliers/{made['id']}"
    assert office.change(path, {"lead_time_days": 12})["lead_time_days"] == 12
    assert code_of(office.post("suppliers", body, 409)) == "already-exists"
    problem = office.post("suppliers", {"name": "x", "lead_time_days": 731}, 400)
    assert wrong(problem) == [("/lead_time_days", "max-value")]
    office.remove(path)
    assert not Supplier.objects.exists()


def test_a_supplier_of_parts_is_not_removed(office):
    supplier = PartFactory(supplier=SupplierFactory()).supplier
    assert code_of(office.remove(f"suppliers/{supplier.pk}", 409)) == "in-use"


def test_suppliers_are_found_by_words(technician):
    felt, _ = SupplierFactory(name="Felt Hall"), SupplierFactory(name="Wire Works")
    assert [row["id"] for row in technician.get("suppliers?search=felt")["items"]] == [felt.pk]
