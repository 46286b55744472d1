"""The purchase order as the supplier gets it."""

from itertools import accumulate
from typing import Any

from django.db.models import QuerySet
from rest_framework.response import Response

from shop.actions.orders import party_of
from shop.http.amounts import PriceField
from shop.http.files import PDFRenderer, file_response
from shop.http.permissions import OFFICE, grants
from shop.http.verbs import file
from shop.http.views import ShopViewSet
from shop.models import PaperSize, PurchaseOrder, ShopProfile
from shop.pages.documents import PAPER, document_pdf
from shop.queries.purchasing import orders_in_full
from shop.rules.money import rounded


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
        order = self.found()
        pdf = document_pdf("purchase_order", paper_of(order, ShopProfile.objects.get()))
        return file_response(pdf, f"{order.number or f'draft-{order.pk}'}.pdf")


def paper_of(order: Any, profile: ShopProfile) -> dict[str, Any]:
    """Return what stands on the paper of an order; who it is from and to as when it was sent."""
    seller = order.seller or party_of(order.supplier)

    def amount(value: Any) -> str:
        return f"{rounded(value, order.minor_units):f}"

    lines = order.lines.all()
    sums = accumulate(line.net_amount for line in lines)
    return {
        "paper_size": PAPER[PaperSize(profile.paper_size)],
        "title": f"Purchase order {order.number}" if order.number else "Draft of a purchase order",
        "sender": order.buyer or party_of(profile),
        "receiver": seller,
        "facts": _facts(order, seller.get("customer_number", "")),
        "lines": [
            {
                "position": str(line.position),
                "supplier_part_number": line.supplier_part_number,
                "description": line.description,
                "part": line.part.code,
                "pack": line.pack_text,
                "packs": str(line.packs),
                "pack_price": PriceField().to_representation(line.pack_price),
                "net_amount": amount(line.net_amount),
                "carried": f"{amount(so_far)} {order.currency}",
            }
            for line, so_far in zip(lines, sums, strict=True)
        ],
        "net_total": f"{amount(order.net_total)} {order.currency}",
        "notes": order.notes,
    }


def _facts(order: Any, customer_number: str) -> list[tuple[str, str]]:
    facts = {
        "Order date": order.sent_on,
        "Goods expected": order.expected_on,
        "Our customer number": customer_number,
    }
    return [(name, str(value)) for name, value in facts.items() if value]
