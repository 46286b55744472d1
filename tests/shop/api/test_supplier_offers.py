from decimal import Decimal

import pytest
from django.db import connection

from shop.models import PriceBreak, SupplierOffer
from tests.factories.purchasing import SupplierOfferFactory
from tests.factories.shop import PartFactory, SupplierFactory
from tests.shop.api.conftest import code_of, wrong


@pytest.fixture
def supplier(db):
    return SupplierFactory(lead_time_days=12)


def an_offer(supplier, part, **values):
    plain = {
        "supplier": supplier.pk,
        "part": part.code,
        "pack_amount": "1",
        "pack_unit": "thousand",
        "price_breaks": [{"from_packs": 1, "price": "80.00"}],
    }
    return {**plain, **values}


def test_an_offer_is_added_read_changed_and_removed(office, supplier):
    body = an_offer(
        supplier,
        PartFactory(code="pin-20"),
        supplier_part_number="CP-20-M",
        price_breaks=[{"from_packs": 5, "price": "72.5050"}, {"from_packs": 1, "price": "80"}],
    )
    offer = office.post("supplier-offers", body)
    assert offer["price_breaks"] == [
        {"from_packs": 1, "price": "80.00"},
        {"from_packs": 5, "price": "72.505"},
    ]
    assert (offer["pack"], offer["units_per_pack"], offer["unit"]) == (
        "1 thousand",
        "1000",
        "piece",
    )
    # The supplier states twelve days for all.
    assert (offer["lead_time_days"], offer["currency"]) == (12, "EUR")
    path = f"supplier-offers/{offer['id']}"
    assert office.get(path) == offer
    changed = office.change(
        path,
        {
            "lead_time_days": 30,
            "pack_amount": "2",
            "price_breaks": [{"from_packs": 1, "price": "150"}],
        },
    )
    assert (changed["lead_time_days"], changed["units_per_pack"]) == (30, "2000")
    assert changed["price_breaks"] == [{"from_packs": 1, "price": "150.00"}]
    office.remove(path)
    assert not PriceBreak.objects.exists()


@pytest.mark.parametrize(
    ("part", "pack", "units", "exact", "words"),
    [
        # By hand from the definitions: a pound is 453.59237 g, an inch 25.4 mm, a yard 36 of them.
        (
            {},
            {
                "pack_amount": "1",
                "pack_unit": "kilogram",
                "pieces_per_weight": "1700",
                "weight_unit": "pound",
            },
            "3747",
            "170000000000/45359237",
            "1 kg of 1700 pieces/lb",
        ),
        (
            {"unit": "square_metre"},
            {"pack_amount": "1", "pack_unit": "yard", "width_mm": "1371.6"},
            "1.254",
            "3919347/3125000",
            "1 yd, 1371.6 mm wide",
        ),
        (
            {"bushing_cloth": True},
            {"pack_amount": "7", "pack_unit": "metre"},
            "7",
            "7",
            "7 m",
        ),
        (
            {"unit": "millilitre"},
            {"pack_amount": "4", "pack_unit": "us_fluid_ounce"},
            "118.294",
            "473176473/4000000",
            "4 US fl oz",
        ),
        ({"unit": "sheet"}, {"pack_amount": "1", "pack_unit": "dozen"}, "12", "12", "1 dozen"),
    ],
)
def test_a_pack_is_what_it_is_in_the_parts_unit(office, supplier, part, pack, units, exact, words):
    offer = office.post("supplier-offers", an_offer(supplier, PartFactory(**part), **pack))
    assert (offer["units_per_pack"], offer["units_per_pack_exact"], offer["pack"]) == (
        units,
        exact,
        words,
    )


def test_a_sheet_cut_into_strips_leaves_an_offcut(office, supplier):
    cloth = PartFactory(bushing_cloth=True, strip_width_mm=11)
    sheet = {"pack_amount": "0.5", "pack_unit": "metre", "width_mm": "300"}
    offer = office.post("supplier-offers", an_offer(supplier, cloth, **sheet))
    # By hand: 27 strips of half a metre, and 3 mm.
    assert (offer["units_per_pack"], offer["offcut_width_mm"]) == ("13.5", "3")


@pytest.mark.parametrize(
    ("pack", "pointer"),
    [
        ({"pack_unit": "metre"}, "/pack_unit"),
        ({"pack_unit": "litre"}, "/pack_unit"),
        ({"pack_unit": "pound"}, "/pieces_per_weight"),
        ({"pack_unit": "pound", "pieces_per_weight": "1700"}, "/weight_unit"),
        ({"pieces_per_weight": "1700", "weight_unit": "pound"}, "/pieces_per_weight"),
        ({"width_mm": "100"}, "/width_mm"),
        ({"pack_amount": "0.0009"}, "/pack_amount"),
    ],
)
def test_a_pack_that_does_not_convert_is_refused(office, supplier, pack, pointer):
    problem = office.post("supplier-offers", an_offer(supplier, PartFactory(), **pack), 409)
    assert code_of(problem) == "pack-not-convertible"
    assert wrong(problem) == [(pointer, "pack-not-convertible")]
    assert not SupplierOffer.objects.exists()


@pytest.mark.parametrize(
    ("values", "pointer", "code"),
    [
        ({"pack_amount": "0"}, "/pack_amount", "min-value"),
        ({"pack_amount": "-1"}, "/pack_amount", "min-value"),
        ({"pack_amount": "NaN"}, "/pack_amount", "invalid"),
        ({"pack_unit": "bucket"}, "/pack_unit", "invalid-choice"),
        ({"weight_unit": "metre"}, "/weight_unit", "invalid-choice"),
        ({"width_mm": "0"}, "/width_mm", "min-value"),
        ({"currency": "GBP"}, "/currency", "other-currency"),
        ({"price_breaks": []}, "/price_breaks", "empty"),
        (
            {"price_breaks": [{"from_packs": 0, "price": "1"}]},
            "/price_breaks/0/from_packs",
            "min-value",
        ),
        (
            {"price_breaks": [{"from_packs": 1, "price": "-1"}]},
            "/price_breaks/0/price",
            "min-value",
        ),
        ({"lead_time_days": 731}, "/lead_time_days", "max-value"),
        ({"part": "no-such-part"}, "/part", "does-not-exist"),
        ({"units_per_pack": "7"}, "/units_per_pack", "unknown-member"),
    ],
)
def test_a_value_that_cannot_be_right_is_refused(office, supplier, values, pointer, code):
    problem = office.post("supplier-offers", an_offer(supplier, PartFactory()) | values, 400)
    assert wrong(problem) == [(pointer, code)]
    assert not SupplierOffer.objects.exists()


def test_a_supplier_offers_a_pack_of_a_part_once_and_at_one_price_from_so_many_on(office, supplier):
    part = PartFactory()
    office.post("supplier-offers", an_offer(supplier, part))
    # Ten hundred are a thousand.
    same = an_offer(supplier, part, pack_amount="10", pack_unit="hundred")
    assert code_of(office.post("supplier-offers", same, 409)) == "offer-exists"
    twice = [{"from_packs": 2, "price": "1"}, {"from_packs": 2, "price": "2"}]
    body = an_offer(supplier, part, pack_unit="hundred", price_breaks=twice)
    assert code_of(office.post("supplier-offers", body, 409)) == "price-break-exists"
    assert SupplierOffer.objects.count() == 1


def test_a_part_that_is_offered_keeps_its_unit(office, supplier):
    offer = SupplierOfferFactory(part__code="pin-20")
    assert code_of(office.change("parts/pin-20", {"unit": "gram"}, 409)) == "unit-fixed"
    office.remove(f"supplier-offers/{offer.pk}")
    assert office.change("parts/pin-20", {"unit": "gram"})["unit"] == "gram"


def test_an_offer_keeps_its_supplier_and_part(office, supplier):
    offer = SupplierOfferFactory()
    problem = office.change(f"supplier-offers/{offer.pk}", {"supplier": supplier.pk}, 400)
    assert wrong(problem) == [("/supplier", "unknown-member")]


def test_offers_are_found_by_supplier_part_and_number(office):
    offer = SupplierOfferFactory(part__code="pin-20", supplier_part_number="CP-20")
    SupplierOfferFactory()
    for query in (
        f"supplier={offer.supplier_id}",
        "part=pin-20",
        "supplier_part_number=CP-20",
    ):
        found = office.get(f"supplier-offers?{query}")["items"]
        assert [each["id"] for each in found] == [offer.pk]


def test_technicians_see_no_offers(technician):
    assert code_of(technician.get("supplier-offers", 403)) == "forbidden"
    assert code_of(technician.post("supplier-offers", {}, 403)) == "forbidden"


def test_a_supplier_states_the_least_that_they_take_an_order_of(office):
    body = {
        "name": "Felt and Wire Cooperative",
        "street": "Dye Lane 3",
        "city": "Carding",
        "postcode": "1010",
        "country": "AT",
        "customer_number": "C-77",
        "minimum_order_value": "75.50",
    }
    made = office.post("suppliers", body)
    assert {name: made[name] for name in body} == body
    problem = office.post("suppliers", {"name": "B", "minimum_order_value": "-1"}, 400)
    assert wrong(problem) == [("/minimum_order_value", "min-value")]
    problem = office.post("suppliers", {"name": "B", "minimum_order_value": "0.001"}, 400)
    assert wrong(problem) == [("/minimum_order_value", "too-fine")]


def test_the_history_of_a_price_is_kept(office, supplier):
    offer = SupplierOfferFactory()
    office.change(
        f"supplier-offers/{offer.pk}", {"price_breaks": [{"from_packs": 1, "price": "11"}]}
    )
    with connection.cursor() as cursor:
        cursor.execute("SELECT price FROM shop_pricebreakevent ORDER BY pgh_id")
        prices = [price for (price,) in cursor.fetchall()]
    assert prices == [Decimal("9.5"), Decimal("9.5"), Decimal(11)]
