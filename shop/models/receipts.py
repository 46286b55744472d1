"""What came of a purchase order, and what went back: each line with the move that it made."""

from typing import ClassVar

import pgtrigger
from django.conf import settings
from django.db import models
from django.db.models import Q

from shop.models.guards import Guard, append_only
from shop.models.orders import PurchaseOrder, PurchaseOrderLine
from shop.models.stock import Move, MoveReason, Place


class Receipt(models.Model):
    """Goods of one order that came together, put away at one place.

    Freight, duty and other costs of getting them here (handling, taxes that are not recovered) are
    spread over the lines by value and are part of what the goods cost.

    Source: IAS 2 Inventories, paragraphs 10 and 11, costs of purchase.
    """

    order = models.ForeignKey(PurchaseOrder, on_delete=models.PROTECT, related_name="receipts")
    place = models.ForeignKey(Place, on_delete=models.PROTECT, related_name="+")
    delivery_note = models.CharField(max_length=100, blank=True)
    received_on = models.DateField()
    received_at = models.DateTimeField()
    received_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    freight_amount = models.DecimalField(max_digits=14, decimal_places=3, default=0)
    duty_amount = models.DecimalField(max_digits=14, decimal_places=3, default=0)
    other_amount = models.DecimalField(max_digits=14, decimal_places=3, default=0)

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(
                name="shop_receipt_amounts_sensible",
                condition=Q(freight_amount__gte=0, duty_amount__gte=0, other_amount__gte=0),
                violation_error_code="amount-negative",
                violation_error_message="Freight, duty and other costs are not negative.",
            ),
        ]
        indexes: ClassVar = [
            models.Index(fields=["received_at", "id"], name="shop_receipt_by_time"),
        ]
        triggers: ClassVar = [
            *append_only("shop_receipt", "Receipts"),
            Guard(
                name="shop_receipt_order_awaited",
                code="order-not-awaited",
                message="Goods are received of an order that was sent and is not closed.",
                operation=pgtrigger.Insert,
                before_check=(
                    "PERFORM FROM shop_purchaseorder WHERE id = NEW.order_id FOR NO KEY UPDATE;"
                ),
                refuse_when="""
                    NOT EXISTS (SELECT FROM shop_purchaseorder WHERE id = NEW.order_id
                        AND status IN ('sent', 'part_received') AND sent_on <= NEW.received_on)
                """,
            ),
            Guard(
                name="shop_receipt_costs_spread",
                code="totals-differ",
                message="The lines bear all of the freight, duty and other costs, and no more.",
                when=pgtrigger.After,
                timing=pgtrigger.Deferred,
                operation=pgtrigger.Insert,
                refuse_when="""
                    NEW.freight_amount + NEW.duty_amount + NEW.other_amount IS DISTINCT FROM
                        (SELECT sum(landed_amount) FROM shop_receiptline
                         WHERE receipt_id = NEW.id)
                """,
            ),
        ]

    def __str__(self) -> str:
        return f"receipt {self.pk} of order {self.order_id}"


class PacksMoved(models.Model):
    """Packs of an order's line and the `quantity` that they brought into stock, or took out."""

    order_line = models.ForeignKey(PurchaseOrderLine, on_delete=models.PROTECT, related_name="+")
    packs = models.PositiveIntegerField()
    quantity = models.DecimalField(max_digits=14, decimal_places=3)
    move = models.OneToOneField(Move, on_delete=models.PROTECT, related_name="+")

    class Meta:
        abstract = True
        constraints: ClassVar = [
            models.CheckConstraint(
                name="%(app_label)s_%(class)s_moves_something",
                condition=Q(packs__gt=0, quantity__gt=0),
                violation_error_code="quantity-not-positive",
                violation_error_message="A line moves a pack or more, and something in it.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.packs} of line {self.order_line_id}"


def tied_to_move(line: str, paper: str, *, place: str, reason: MoveReason, also: str) -> Guard:
    """Return the guard that ties a paper's line to its order, and to the move that it made."""
    return Guard(
        name=f"{line}_tied",
        code="move-differs",
        message="A line is of its paper's order, and moves what it says.",
        operation=pgtrigger.Insert,
        refuse_when=f"""
            NOT EXISTS (
                SELECT FROM {paper} AS paper
                JOIN shop_purchaseorderline AS line ON line.order_id = paper.order_id
                JOIN shop_move AS move ON move.part_id = line.part_id
                WHERE paper.id = NEW.{paper.removeprefix("shop_")}_id
                  AND line.id = NEW.order_line_id AND move.id = NEW.move_id
                  AND move.quantity = NEW.quantity AND move.reason = '{reason}'
                  AND move.{place} = paper.place_id AND {also})
        """,
    )


class ReceiptLine(PacksMoved):
    """Packs that came, at what they cost.

    They should have brought `stated_quantity` into stock and brought `quantity`, as counted.
    `goods_amount` is what the packs cost, `landed_amount` their share of the freight and the rest.
    """

    # Its index is that of the unique constraint below.
    receipt = models.ForeignKey(
        Receipt, on_delete=models.PROTECT, related_name="lines", db_index=False
    )
    stated_quantity = models.DecimalField(max_digits=14, decimal_places=3)
    is_over_accepted = models.BooleanField(default=False)
    pack_price = models.DecimalField(max_digits=14, decimal_places=4)
    goods_amount = models.DecimalField(max_digits=14, decimal_places=3)
    landed_amount = models.DecimalField(max_digits=14, decimal_places=3)

    class Meta:
        constraints: ClassVar = [
            *PacksMoved.Meta.constraints,
            models.CheckConstraint(
                name="shop_receiptline_amounts_sensible",
                condition=Q(
                    stated_quantity__gte=0,
                    pack_price__gte=0,
                    goods_amount__gte=0,
                    landed_amount__gte=0,
                ),
                violation_error_code="amount-negative",
                violation_error_message="Amounts of what was received are not negative.",
            ),
            models.UniqueConstraint(
                name="shop_receiptline_once",
                fields=["receipt", "order_line"],
                violation_error_code="line-received-twice",
                violation_error_message="A receipt has each line of the order once.",
            ),
        ]
        triggers: ClassVar = [
            *append_only("shop_receiptline", "Lines of receipts"),
            Guard(
                name="shop_receiptline_within_order",
                code="more-than-ordered",
                message="That is more than was ordered; say so if it is to be kept.",
                operation=pgtrigger.Insert,
                # The order is locked, so that no other receipt slips in between.
                before_check="""
                    PERFORM FROM shop_purchaseorder WHERE id = (
                        SELECT order_id FROM shop_purchaseorderline WHERE id = NEW.order_line_id)
                    FOR NO KEY UPDATE;
                """,
                refuse_when="""
                    NOT NEW.is_over_accepted AND NEW.packs > (
                        SELECT line.packs
                            - (SELECT COALESCE(sum(packs), 0) FROM shop_receiptline
                               WHERE order_line_id = line.id)
                            + (SELECT COALESCE(sum(returned.packs), 0)
                               FROM shop_supplierreturnline AS returned
                               JOIN shop_supplierreturn AS paper
                                   ON paper.id = returned.supplierreturn_id AND paper.is_replaced
                               WHERE returned.order_line_id = line.id)
                        FROM shop_purchaseorderline AS line WHERE line.id = NEW.order_line_id)
                """,
            ),
            tied_to_move(
                "shop_receiptline",
                "shop_receipt",
                place="to_place_id",
                reason=MoveReason.RECEIVED,
                also="move.value = NEW.goods_amount + NEW.landed_amount",
            ),
        ]


class SupplierReturn(models.Model):
    """Goods of one order that went back to the supplier, from one place.

    Those that the supplier `is_replaced` for are awaited again; for the others money is due back.
    """

    order = models.ForeignKey(PurchaseOrder, on_delete=models.PROTECT, related_name="returns")
    place = models.ForeignKey(Place, on_delete=models.PROTECT, related_name="+")
    reason = models.CharField(max_length=200)
    is_replaced = models.BooleanField()
    returned_at = models.DateTimeField()
    returned_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(
                name="shop_supplierreturn_has_reason",
                condition=~Q(reason=""),
                violation_error_code="reason-missing",
                violation_error_message="Say why goods go back.",
            ),
        ]
        indexes: ClassVar = [
            models.Index(fields=["returned_at", "id"], name="shop_supplierreturn_by_time"),
        ]
        triggers: ClassVar = append_only("shop_supplierreturn", "Returns to suppliers")

    def __str__(self) -> str:
        return f"return {self.pk} of order {self.order_id}"


class SupplierReturnLine(PacksMoved):
    """Packs that went back, at what their quantity is worth by the average."""

    # Its index is that of the unique constraint below.
    supplierreturn = models.ForeignKey(
        SupplierReturn, on_delete=models.PROTECT, related_name="lines", db_index=False
    )

    class Meta:
        constraints: ClassVar = [
            *PacksMoved.Meta.constraints,
            models.UniqueConstraint(
                name="shop_supplierreturnline_once",
                fields=["supplierreturn", "order_line"],
                violation_error_code="line-returned-twice",
                violation_error_message="A return has each line of the order once.",
            ),
        ]
        triggers: ClassVar = [
            *append_only("shop_supplierreturnline", "Lines of returns"),
            Guard(
                name="shop_supplierreturnline_within_receipts",
                code="more-than-received",
                message="That is more than was received of this line and not yet sent back.",
                operation=pgtrigger.Insert,
                before_check="""
                    PERFORM FROM shop_purchaseorder WHERE id = (
                        SELECT order_id FROM shop_purchaseorderline WHERE id = NEW.order_line_id)
                    FOR NO KEY UPDATE;
                """,
                refuse_when="""
                    NEW.packs > (
                        SELECT COALESCE(sum(packs), 0) FROM shop_receiptline
                        WHERE order_line_id = NEW.order_line_id)
                    - (SELECT COALESCE(sum(packs), 0) FROM shop_supplierreturnline
                        WHERE order_line_id = NEW.order_line_id)
                """,
            ),
            tied_to_move(
                "shop_supplierreturnline",
                "shop_supplierreturn",
                place="from_place_id",
                reason=MoveReason.RETURNED,
                also="TRUE",
            ),
        ]
