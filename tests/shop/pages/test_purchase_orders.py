"""The printed order, read back by a program that knows nothing of how it was made."""

import re
from decimal import Decimal

import pytest
from babel.dates import format_date

from shop.models import PurchaseOrder, ShopProfile
from tests.callers import caller_with
from tests.documents import assert_accessible, read, text_of
from tests.factories.purchasing import OrderLineFactory, PurchaseOrderFactory, sent
from tests.factories.shop import PartFactory, SupplierFactory

pytestmark = pytest.mark.django_db

# ISO 216 and ANSI/ASME Y14.1, in points of 1/72 in: 210 mm x 297 mm and 8.5 in x 11 in.
A4, LETTER = (595.28, 841.89), (612, 792)


@pytest.fixture
def office():
    return caller_with("office")


def an_order(count=2, **columns):
    supplier = SupplierFactory(
        name="Felt and Wire Cooperative", street="Dye Lane 3", city="Carding"
    )
    order = PurchaseOrderFactory(lines=[], supplier=supplier, **columns)
    part = PartFactory(code="centre-pin-20")
    for number in range(1, count + 1):
        OrderLineFactory(
            order=order,
            part=part,
            position=number,
            supplier_part_number=f"FW-{number:03}",
            packs=number,
            # So that no two lines are packs of one size.
            contents_numerator=number,
        )
    return order


def sent_order(office, **columns):
    order = an_order(**columns)
    answer = office.post(f"/purchase-orders/{order.pk}/send", {"accept_below_minimum": True})
    assert answer.status_code == 200, answer.content
    return PurchaseOrder.objects.get(pk=order.pk)


def printed(office, order):
    return read(office.get(f"/purchase-orders/{order.pk}/document"))


def test_an_order_is_printed_with_both_parties_its_lines_and_what_it_comes_to(office):
    ShopProfile.objects.update(name="Reedham Pianos", city="Reedham", email="shop@reedham.example")
    order = sent_order(office, notes="Please pack dry.\nThank you.")
    text = text_of(printed(office, order))
    for words in (
        f"Purchase order {order.number}",
        "Reedham Pianos",
        "shop@reedham.example",
        "Felt and Wire Cooperative",
        "Dye Lane 3",
        format_date(order.sent_on, locale="en"),
        format_date(order.expected_on, locale="en"),
        "FW-001",
        "centre-pin-20",
        "1 hundred",
        "Please pack dry.",
        "Thank you.",
    ):
        assert words in text, words
    # By hand: a pack and two packs at 9.50 are 28.50.
    assert re.search(r"Total before tax\s+€28\.50", text)


def test_a_document_can_be_read_aloud_and_copied_and_needs_no_font_of_the_readers(office):
    order = sent_order(office)
    reader = printed(office, order)
    assert_accessible(reader, language="en", title=f"Purchase order {order.number}")


@pytest.mark.parametrize(("paper", "size"), [("a4", A4), ("letter", LETTER)])
def test_the_shop_says_on_which_paper(office, paper, size):
    ShopProfile.objects.update(paper_size=paper)
    box = printed(office, an_order()).pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx(size, abs=0.1)


def test_a_long_order_repeats_its_head_and_carries_its_total_from_page_to_page(office):
    reader = printed(office, sent_order(office, count=80))
    pages = [page.extract_text() for page in reader.pages]
    with_lines = [page for page in pages if "FW-" in page]
    assert len(with_lines) > 2
    so_far = Decimal(0)
    for number, page in enumerate(with_lines, start=1):
        assert page.count("Your number") == 1
        assert f"{number} / {len(pages)}" in page
        brought = re.findall(r"Brought forward\s+€([\d.,]+)", page)
        assert brought == ([f"{so_far:,.2f}"] if number > 1 else [])
        numbers = [int(each) for each in re.findall(r"FW-(\d{3})", page)]
        # By hand: line n is n packs at 9.50.
        so_far += sum(each * Decimal("9.50") for each in numbers)
        carried = re.findall(r"Carried forward\s+€([\d.,]+)", page)
        assert carried == ([f"{so_far:,.2f}"] if number < len(with_lines) else [])
    # 9.50 x 80 x 81 / 2.
    assert so_far == 30_780
    assert re.search(r"Total before tax\s+€30,780\.00", text_of(reader))


def test_a_draft_says_that_it_is_one(office):
    text = text_of(printed(office, an_order()))
    assert "Draft of a purchase order" in text
    assert "Order date" not in text


def test_what_was_sent_is_printed_alike_however_the_supplier_changes(office):
    order = sent_order(office)
    path = f"/purchase-orders/{order.pk}/document"
    first = office.get(path)
    order.supplier.name = "Somebody else"
    order.supplier.save()
    again = office.get(path)
    assert again.content == first.content
    assert again["ETag"] == first["ETag"]
    assert f'filename="{order.number}.pdf"' in first["Content-Disposition"]
    assert office.get(path, If_None_Match=first["ETag"]).status_code == 304


@pytest.mark.parametrize(
    "name",
    ['#read("/etc/passwd")', "$x^2$ *bold* \\ <label>", "Žofie Ŵyn-Müller ﬂ", "= Heading"],
)
def test_text_stays_text_whatever_it_holds(office, name):
    order = PurchaseOrderFactory(supplier=SupplierFactory(name=name))
    reader = printed(office, order)
    assert name.replace("ﬂ", "fl") in text_of(reader).replace("ﬂ", "fl")
    assert "/StructTreeRoot" in reader.trailer["/Root"]


def test_a_name_in_a_script_that_the_fonts_lack_is_printed_with_gaps(office):
    order = PurchaseOrderFactory(supplier=SupplierFactory(name="琴 Felt"))
    reader = printed(office, order)
    assert "Felt" in text_of(reader)
    assert "pdfuaid:part" not in reader.trailer["/Root"]["/Metadata"].get_data().decode()


def test_technicians_print_no_orders():
    order = PurchaseOrderFactory()
    answer = caller_with("technician").get(f"/purchase-orders/{order.pk}/document")
    assert answer.status_code == 403
    assert answer["Content-Type"] == "application/problem+json"


def test_columns_that_make_an_order_sent_are_those_that_are_printed(office):
    order = an_order()
    PurchaseOrder.objects.filter(pk=order.pk).update(**sent())
    assert "The piano repair shop" in text_of(printed(office, order))
