"""Parts as a sheet: tried, imported whole or not at all, and exported to be imported again."""

from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from shop.api.part_sheets import PART_SHEET
from shop.models import Part
from tests.factories.shop import (
    PartFactory,
    PartPriceFactory,
    SupplierFactory,
    TaxCategoryFactory,
)
from tests.factories.world import FAR_DAY, stock
from tests.shop.api.conftest import code_of, wrong
from tests.shop.api.sheets import exported, fates, reasons, send

# Separators, quotes, line ends, and what a spreadsheet takes for a formula (OWASP, "CSV
# Injection"), with and without the apostrophe that keeps it from doing so.
AWKWARD = [
    *("=HYPERLINK(1)", "+49 30 1", "-1+1", "@sum", "'=1+1", "''+1", "'quoted'", "-5", "+1.5"),
    *('Felt, 5"', '"', '""', "a;b", "Größe ½ „Filzstück“", "x'", "1e5", "007", "NULL", "true"),
    *("café", "cafe\u0301", "\u200b", "🎹", "a\u2028b", "#N/A", "=", "'"),
]


@pytest.fixture
def goods(db):
    return TaxCategoryFactory(code="goods")


def test_the_example_of_the_description_is_tried_then_stored(office, goods):
    tried = send(office, "parts/trial", PART_SHEET)
    assert (tried["is_stored"], tried["made"], tried["refused"]) == (False, 2, 0)
    assert not Part.objects.exists()
    stored = send(office, "parts/import", PART_SHEET)
    assert stored == tried | {"is_stored": True}
    assert [row["line"] for row in stored["items"]] == [2, 3]
    part = Part.objects.get(code="damper-felt-wedge")
    assert (part.unit, part.cost, part.tax_category) == ("metre", Decimal("4.2055"), goods)
    # What the sheet leaves out is as for any new part; what it leaves empty is its usual value.
    assert (part.provenance, part.pack_quantity, part.lead_time_days) == ("shop", 1, 14)
    assert Part.objects.get(code="hammer-shank").lead_time_days == 7
    assert fates(send(office, "parts/import", PART_SHEET)) == ["unchanged", "unchanged"]


def test_a_change_is_shown_with_what_was_and_what_will_be(office):
    supplier = SupplierFactory(name="Rook & Wren, Felts")
    PartFactory(code="shank", price=Decimal("2.50"), supplier_part_number="S-1", supplier=supplier)
    sheet = "code;price;supplier;supplier_part_number\r\nshank;2.5050;;\r\n"
    tried = send(office, "parts/trial", sheet)
    assert tried["items"] == [
        {
            "row": 1,
            "line": 2,
            "fate": "changed",
            "changes": [
                {"column": "supplier_part_number", "old": "S-1", "new": ""},
                {"column": "price", "old": "2.50", "new": "2.505"},
                {"column": "supplier", "old": "Rook & Wren, Felts", "new": ""},
            ],
            "reasons": [],
        }
    ]
    assert Part.objects.get().supplier == supplier
    send(office, "parts/import", sheet)
    part = Part.objects.get()
    assert (part.name, part.supplier, part.supplier_part_number) == ("The shank", None, "")
    assert fates(send(office, "parts/import", sheet)) == ["unchanged"]


def test_a_new_price_holds_from_today_and_what_was_entered_for_later_stands(office):
    part = PartFactory(code="shank", price=Decimal("2.50"))
    PartPriceFactory(part=part, price=Decimal("2.75"))
    PartPriceFactory(part=part, price=Decimal(9), valid_from=FAR_DAY)
    for price, old in (("3.1", "2.75"), ("3.20", "3.10")):
        [row] = send(office, "parts/import", f"code,price\nshank,{price}\n")["items"]
        assert (row["changes"][0]["old"], Decimal(row["changes"][0]["new"])) == (
            old,
            Decimal(price),
        )
    assert list(part.prices.order_by("valid_from").values_list("price", flat=True)) == [
        Decimal("2.75"),
        Decimal("3.20"),
        9,
    ]
    assert office.get("sheets/parts/export")["items"][0]["price"] == "3.20"


def test_what_was_exported_changes_nothing_when_it_is_imported(office, goods):
    supplier = SupplierFactory(name='=Wren; "Felts", Söhne')
    for number, text in enumerate(AWKWARD):
        PartFactory(
            code=f"awkward-{number}", name=text, supplier_part_number=text, tax_category=goods
        )
    PartFactory(centre_pin=True, supplier=supplier, service_level_percent=Decimal("97.50"))
    PartFactory(key_punching=True, price=Decimal("9999999999.9999"), cost=Decimal("0.0001"))
    PartFactory(bushing_cloth=True, pack_quantity=Decimal("0.125"), is_active=False)
    sheet = exported(office, "parts")
    outcome = send(office, "parts/import", sheet)
    assert (outcome["made"], outcome["changed"], outcome["refused"]) == (0, 0, 0)
    assert outcome["unchanged"] == len(AWKWARD) + 3
    # Into a shop that has none of the parts they come as they were.
    Part.objects.all().delete()
    assert send(office, "parts/import", sheet)["made"] == len(AWKWARD) + 3
    assert exported(office, "parts") == sheet
    assert list(
        Part.objects.filter(code__startswith="awkward")
        .order_by("pk")
        .values_list("name", flat=True)
    ) == [text for _, text in sorted((f"awkward-{n}", text) for n, text in enumerate(AWKWARD))]


WRONG_VALUES = """\
code,name,category,price,cost,tax_category,pack_quantity,currency
good,A good row,action_part,1,1,goods,1,EUR
Bad Code,,action_part,1.23456,"1,50",goods,0,USD
good-too,"Two
lines",spaceship,-1,1,goods,1,EUR
"""


def test_every_value_that_cannot_be_is_named_by_line_and_column(office, goods):
    for path in ("parts/trial", "parts/import"):
        problem = send(office, path, WRONG_VALUES, 400)
        assert code_of(problem) == "invalid-input"
        assert wrong(problem) == [
            ("/1/code", "invalid"),
            ("/1/pack_quantity", "min-value"),
            ("/1/price", "max-decimal-places"),
            ("/1/cost", "invalid"),
            ("/1/currency", "other-currency"),
            ("/2/name", "control-or-line"),
            ("/2/category", "invalid-choice"),
            ("/2/price", "min-value"),
        ]
        lines = [each["detail"].partition(":")[0] for each in problem["errors"]]
        assert lines == ["Line 3"] * 5 + ["Line 4"] * 3
    assert not Part.objects.exists()


def test_rows_that_the_shop_refuses_are_named_and_the_others_wait_for_them(office, goods):
    stock(PartFactory(code="moved"), 1, 1)
    PartFactory(centre_pin=True, code="pin-20", size_label="20", diameter_um=1270)
    rest = "goods,,,,"
    pin = "centre_pin,piece,1,1,goods,,inch,20,1270"
    sheet = f"""\
code,name,category,unit,price,cost,tax_category,supplier,size_scheme,size_label,diameter_um
fine,Fine,action_part,piece,1,1,{rest}
moved,Moved,action_part,metre,1,1,{rest}
no-tax,No tax,action_part,piece,1,1,gods,Nobody,,,
fine,Fine again,action_part,piece,1,1,{rest}
pin-twenty,The same size,{pin}
no-size,No size,centre_pin,piece,1,1,{rest}
also-fine,Also fine,action_part,piece,1,1,{rest}
"""
    expected = [
        ("/1", "unit-fixed"),
        ("/2/tax_category", "does-not-exist"),
        ("/2/supplier", "does-not-exist"),
        ("/3/code", "row-repeated"),
        ("/4", "pin-size-exists"),
        ("/5", "pin-size-missing"),
    ]
    tried = send(office, "parts/trial", sheet)
    assert reasons(tried) == expected
    assert fates(tried) == ["made", *["refused"] * 5, "made"]
    problem = send(office, "parts/import", sheet, 409)
    assert code_of(problem) == "sheet-refused"
    assert wrong(problem) == expected
    assert problem["detail"] == "5 of 7 rows cannot be taken; nothing is stored."
    assert problem["errors"][0]["detail"].startswith("Line 3: A part that has moved keeps its unit")
    assert Part.objects.count() == 2


def test_a_new_part_needs_more_than_a_code(office, goods):
    PartFactory(code="old")
    outcome = send(office, "parts/trial", "code,price\nold,3\nnew,3\n")
    assert fates(outcome) == ["changed", "refused"]
    assert reasons(outcome) == [
        (f"/1/{column}", "required") for column in ("name", "category", "cost", "tax_category")
    ]


def test_rows_come_as_json_too(office, goods):
    row = {"code": "shank", "name": "Shank", "category": "action_part", "price": "1", "cost": "1"}
    tried = office.post("sheets/parts/trial", [row], 200)
    assert reasons(tried) == [("/0/tax_category", "required")]
    assert reasons(office.post("sheets/parts/trial", row, 200)) == [("/tax_category", "required")]
    outcome = office.post("sheets/parts/import", row | {"tax_category": "goods"}, 200)
    assert (outcome["made"], outcome["items"][0]["line"]) == (1, None)
    [shown] = office.get("sheets/parts/export")["items"]
    assert (shown["code"], shown["price"], shown["currency"]) == ("shank", "1.00", "EUR")


def test_the_same_import_with_the_same_key_is_done_once(office, goods):
    first = send(office, "parts/import", PART_SHEET, Idempotency_Key="sheet-1")
    assert send(office, "parts/import", PART_SHEET, Idempotency_Key="sheet-1") == first
    assert first["made"] == 2


def test_a_sheet_of_two_hundred_takes_as_many_statements_as_one_of_one(office, goods):
    def statements(first, count, price):
        rows = [f"part-{first + n},Part,action_part,{price},1,goods" for n in range(count)]
        sheet = "\n".join(["code,name,category,price,cost,tax_category", *rows])
        with CaptureQueriesContext(connection) as captured:
            send(office, "parts/import", sheet)
        return len(captured)

    assert statements(0, 200, 1) == statements(500, 1, 1)
    assert statements(0, 200, 2) == statements(500, 1, 2) <= 20


def test_many_rows_that_checks_refuse_are_named_by_as_many_statements_as_one(office, goods):
    def named(count):
        kinds = ("centre_pin", "bushing_cloth", "key_punching", "action_part")
        rows = [f"part-{n},Part,{kinds[n % 4]},1,1,goods" for n in range(count)]
        sheet = "\n".join(["code,name,category,price,cost,tax_category", *rows])
        with CaptureQueriesContext(connection) as captured:
            problem = send(office, "parts/import", sheet, 409)
        return wrong(problem), len(captured)

    (of_many, statements), (_, of_one) = named(200), named(1)
    assert of_many[:3] == [
        ("/0", "pin-size-missing"),
        ("/1", "cloth-measures-missing"),
        ("/2", "punching-measures-missing"),
    ]
    assert len(of_many) == 150
    # The fifty rows that nothing is wrong with are written, and taken back.
    assert statements - of_one <= 4
