"""The purchase order as the supplier gets it."""

from decimal import Decimal
from itertools import accumulate
from typing import Any

from django.db.models import QuerySet
from rest_framework.response import Response

from shop.actions.orders import party_of
from shop.http.files import PDFRenderer, file_response
from shop.http.permissions import OFFICE, grants
from shop.http.verbs import file
from shop.http.views import ShopViewSet
from shop.models import PurchaseOrder, ShopProfile
from shop.pages.papers import Cell, Column, Paper, Row, Total, paper_pdf
from shop.pages.wording import Wording, wording
from shop.queries.purchasing import orders_in_full


class PurchaseOrderDocumentViewSet(ShopViewSet):
    """The purchase order on paper."""

    model = PurchaseOrder
    roles = grants(read=OFFICE)

    def rows(self) -> QuerySet[PurchaseOrder]:
        """Return the orders."""
        return orders_in_full()

    @file(PDFRenderer)
    def document(self) -> Response:
        """Return the order as the supplier gets it; a draft says that it is one."""
        order, profile = self.found(), ShopProfile.objects.get()
        words = wording(profile.language, profile.country)
        pdf = paper_pdf(paper_of(order, profile, words), words, profile)
        return file_response(pdf, f"{order.number or f'draft-{order.pk}'}.pdf")


def paper_of(order: Any, profile: ShopProfile, words: Wording) -> Paper:
    """Return what stands on the paper of an order; who it is from and to as when it was sent."""
    seller = order.seller or party_of(order.supplier)
    texts = words.texts["purchase_order"]

    def money(value: Any) -> str:
        return words.money(value, order.currency, order.minor_units)

    lines = order.lines.all()
    sums = accumulate(line.net_amount for line in lines)
    return Paper(
        title=texts["title"].format(number=order.number) if order.number else texts["draft"],
        sender=order.buyer or party_of(profile),
        receiver=seller,
        facts=_facts(order, seller.get("customer_number", ""), words),
        columns=[
            Column(texts["position"], is_number=True),
            Column(texts["their_number"]),
            Column(texts["description"], is_wide=True),
            Column(texts["pack"]),
            Column(texts["packs"], is_number=True),
            Column(texts["pack_price"], is_number=True),
            Column(texts["amount"], is_number=True),
        ],
        rows=[
            Row(_cells(line, order.minor_units, words), carried=money(so_far))
            for line, so_far in zip(lines, sums, strict=True)
        ],
        totals=[Total(texts["net_total"], money(order.net_total), is_strong=True)],
        notes=[order.notes] if order.notes else [],
        dated=order.sent_on,
    )


def _cells(line: Any, minor_units: int, words: Wording) -> list[Cell]:
    return [
        Cell(str(line.position)),
        Cell(line.supplier_part_number),
        Cell(line.description, small=line.part.code),
        Cell(line.pack_text),
        Cell(words.number(Decimal(line.packs))),
        Cell(words.price(line.pack_price, minor_units)),
        Cell(words.amount(line.net_amount, minor_units)),
    ]


def _facts(order: Any, customer_number: str, words: Wording) -> list[tuple[str, str]]:
    facts = {
        "order_date": order.sent_on and words.day(order.sent_on),
        "expected": order.expected_on and words.day(order.expected_on),
        "customer_number": customer_number,
    }
    texts = words.texts["purchase_order"]
    return [(texts[name], value) for name, value in facts.items() if value]
