"""Suppliers' lists as a sheet: packs, prices by how many are bought, round trips."""

from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from shop.api.offer_sheets import OFFER_SHEET
from shop.models import PriceBreak, Supplier, SupplierOffer
from tests.factories.purchasing import PriceBreakFactory, SupplierOfferFactory
from tests.factories.shop import PartFactory, SupplierFactory
from tests.shop.api.conftest import code_of, wrong
from tests.shop.api.sheets import exported, fates, reasons, send


@pytest.fixture
def shank(db):
    SupplierFactory(name="Felt and Wire Cooperative")
    return PartFactory(code="hammer-shank")


def test_the_example_of_the_description_is_tried_then_stored(office, shank):
    assert fates(send(office, "supplier-offers/trial", OFFER_SHEET)) == ["made", "made"]
    assert not SupplierOffer.objects.exists()
    assert send(office, "supplier-offers/import", OFFER_SHEET)["made"] == 2
    hundred, dozen = office.get("supplier-offers?order=id")["items"]
    assert (hundred["pack"], hundred["units_per_pack"]) == ("1 hundred", "100")
    assert hundred["price_breaks"] == [
        {"from_packs": 1, "price": "95.00"},
        {"from_packs": 5, "price": "88.50"},
        {"from_packs": 20, "price": "81.255"},
    ]
    assert (dozen["supplier_part_number"], dozen["units_per_pack"]) == ("FW-5601", "12")
    assert send(office, "supplier-offers/import", OFFER_SHEET)["unchanged"] == 2


def test_new_prices_take_the_place_of_the_old_and_all_else_stays(office, shank):
    send(office, "supplier-offers/import", OFFER_SHEET)
    dozen = SupplierOffer.objects.get(supplier_part_number="FW-5601")
    # A hundred pieces are the pack that is sold as one hundred.
    sheet = """\
supplier,part,pack_amount,pack_unit,lead_time_days,price_breaks
Felt and Wire Cooperative,hammer-shank,100,piece,21,88.50 from 5 ; 97 from 1
"""
    [row] = send(office, "supplier-offers/trial", sheet)["items"]
    assert row["changes"] == [
        {"column": "pack_amount", "old": "1", "new": "100"},
        {"column": "pack_unit", "old": "hundred", "new": "piece"},
        {"column": "lead_time_days", "old": "", "new": "21"},
        {
            "column": "price_breaks",
            "old": "95.00; 88.50 from 5; 81.255 from 20",
            "new": "97.00; 88.50 from 5",
        },
    ]
    send(office, "supplier-offers/import", sheet)
    changed = SupplierOffer.objects.get(pack_unit="piece")
    assert changed.supplier_part_number == "FW-5600"
    assert list(changed.price_breaks.values_list("from_packs", "price")) == [(1, 97), (5, 88.5)]
    assert list(dozen.price_breaks.values_list("price", flat=True)) == [Decimal("13.20")]
    sheet = """\
supplier,part,pack_amount,pack_unit,lead_time_days
Felt and Wire Cooperative,hammer-shank,1,dozen,9
"""
    [row] = send(office, "supplier-offers/import", sheet)["items"]
    assert row["changes"] == [{"column": "lead_time_days", "old": "", "new": "9"}]
    assert list(dozen.price_breaks.values_list("price", flat=True)) == [Decimal("13.20")]


def test_what_was_exported_changes_nothing_when_it_is_imported(office, shank):
    send(office, "supplier-offers/import", OFFER_SHEET)
    offer = SupplierOfferFactory(supplier_part_number="=1+1", supplier__name='\'-Wren; "W"')
    PriceBreakFactory(offer=offer, from_packs=1000, price=Decimal("0.0001"))
    weighed = """\
supplier,part,pack_amount,pack_unit,pieces_per_weight,weight_unit,price_breaks
Felt and Wire Cooperative,hammer-shank,2.5,kilogram,1700,pound,140
"""
    send(office, "supplier-offers/import", weighed)
    sheet = exported(office, "supplier-offers")
    before = list(PriceBreak.objects.order_by("pk").values_list())
    outcome = send(office, "supplier-offers/import", sheet)
    assert (outcome["unchanged"], outcome["made"], outcome["changed"]) == (4, 0, 0)
    assert list(PriceBreak.objects.order_by("pk").values_list()) == before
    SupplierOffer.objects.all().delete()
    assert send(office, "supplier-offers/import", sheet)["made"] == 4
    assert exported(office, "supplier-offers").splitlines()[1:] == sheet.splitlines()[1:]


WRONG_VALUES = """\
supplier,part,pack_amount,pack_unit,currency,price_breaks
Felt and Wire Cooperative,hammer-shank,0,hundred,USD,1; 2
Felt and Wire Cooperative,hammer-shank,1,bucket,,two
Felt and Wire Cooperative,hammer-shank,1,dozen,,"1.00 from 0; 1,50"
"""


def test_every_value_that_cannot_be_is_named_by_line_and_column(office, shank):
    problem = send(office, "supplier-offers/import", WRONG_VALUES, 400)
    assert wrong(problem) == [
        ("/0/pack_amount", "min-value"),
        ("/0/currency", "other-currency"),
        ("/0/price_breaks", "price-given-twice"),
        ("/1/pack_unit", "invalid-choice"),
        ("/1/price_breaks", "invalid"),
        ("/2/price_breaks", "invalid"),
    ]
    assert problem["errors"][0]["detail"].startswith("Line 2: ")


def test_rows_that_the_shop_refuses_are_named_and_nothing_is_stored(office, shank):
    sheet = """\
supplier,part,pack_amount,pack_unit,width_mm,price_breaks
Felt and Wire Cooperative,hammer-shank,1,hundred,,9.50
Nobody,hammer-shank,1,hundred,,9.50
Felt and Wire Cooperative,hammer-skank,1,hundred,,9.50
Felt and Wire Cooperative,hammer-shank,1,metre,,9.50
Felt and Wire Cooperative,hammer-shank,1,yard,1371.6,9.50
Felt and Wire Cooperative,hammer-shank,100,piece,,9.40
Felt and Wire Cooperative,hammer-shank,1,gross,,
"""
    expected = [
        ("/1/supplier", "does-not-exist"),
        ("/2/part", "does-not-exist"),
        ("/3/pack_unit", "pack-not-convertible"),
        ("/4/width_mm", "pack-not-convertible"),
        ("/5/part", "row-repeated"),
        ("/6/price_breaks", "required"),
    ]
    tried = send(office, "supplier-offers/trial", sheet)
    assert (reasons(tried), tried["made"]) == (expected, 1)
    problem = send(office, "supplier-offers/import", sheet, 409)
    assert (code_of(problem), wrong(problem)) == ("sheet-refused", expected)
    assert not SupplierOffer.objects.exists()


def test_a_list_of_a_hundred_takes_as_many_statements_as_one_of_one(office, shank):
    def statements(first, count, price):
        rows = [
            f"Felt and Wire Cooperative,hammer-shank,{first + n},piece,{price}; 1 from 9"
            for n in range(count)
        ]
        sheet = "\n".join(["supplier,part,pack_amount,pack_unit,price_breaks", *rows])
        with CaptureQueriesContext(connection) as captured:
            send(office, "supplier-offers/import", sheet)
        return len(captured)

    SupplierOfferFactory(part=shank, supplier=Supplier.objects.get())
    assert statements(1000, 100, 2) == statements(5000, 1, 2)
    assert statements(1000, 100, 3) == statements(5000, 1, 3) <= 20
