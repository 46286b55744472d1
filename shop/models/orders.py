"""Purchase orders: what the shop orders from a supplier, and how that stands."""

from typing import ClassVar

import pghistory
import pgtrigger
from django.conf import settings
from django.db import models
from django.db.models import Q

from shop.models.guards import Guard, no_truncate, status_edges
from shop.models.number_series import DocumentSeries, series_guards
from shop.models.offers import PackContents
from shop.models.parts import Part
from shop.models.suppliers import Supplier


class OrderSeries(DocumentSeries):
    """The last number given out to a purchase order in each year."""

    class Meta(DocumentSeries.Meta):
        verbose_name_plural = "order series"
        triggers: ClassVar = series_guards(
            "shop_orderseries", bearer="shop_purchaseorder", noun="order"
        )


class OrderStatus(models.TextChoices):
    """A draft can still change; a closed order is one that nothing more is awaited of."""

    DRAFT = "draft", "Draft"
    SENT = "sent", "Sent"
    PART_RECEIVED = "part_received", "Part received"
    CLOSED = "closed", "Closed"


AWAITED = [OrderStatus.SENT, OrderStatus.PART_RECEIVED]
# What is sent back to be replaced opens an order again.
ORDER_EDGES = {
    OrderStatus.DRAFT: [OrderStatus.SENT],
    OrderStatus.SENT: [OrderStatus.PART_RECEIVED, OrderStatus.CLOSED],
    OrderStatus.PART_RECEIVED: [OrderStatus.CLOSED],
    OrderStatus.CLOSED: [OrderStatus.PART_RECEIVED],
}
SENT_STAYS = "What was sent to a supplier stays as it was; close the order and make another."
FROZEN = (
    *("supplier_id", "notes", "currency", "minor_units", "drafted_at", "drafted_by_id"),
    *("series_id", "sequence", "number", "sent_at", "sent_on", "sent_by_id", "seller", "buyer"),
)


def columns(row: str) -> str:
    """Return what is frozen of an order, as a row of SQL."""
    return f"({', '.join(f'{row}.{name}' for name in FROZEN)})"


@pghistory.track(pghistory.UpdateEvent(), fields=["status", "number", "expected_on"])
class PurchaseOrder(models.Model):
    """What the shop orders from a supplier, in `currency` kept to its `minor_units`, before tax.

    Seller and buyer are kept as they were when it was sent. `expected_on` is when the goods should
    come, and can be put off.
    """

    supplier = models.ForeignKey(Supplier, on_delete=models.PROTECT, related_name="orders")
    status = models.CharField(max_length=20, choices=OrderStatus, default=OrderStatus.DRAFT)
    notes = models.TextField(blank=True)
    currency = models.CharField(max_length=3)
    minor_units = models.PositiveSmallIntegerField()
    drafted_at = models.DateTimeField()
    drafted_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    series = models.ForeignKey(
        OrderSeries, on_delete=models.PROTECT, related_name="orders", null=True, blank=True
    )
    sequence = models.PositiveIntegerField(null=True, blank=True)
    number = models.CharField(max_length=30, blank=True)
    sent_at = models.DateTimeField(null=True, blank=True)
    sent_on = models.DateField(null=True, blank=True)
    sent_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+", null=True, blank=True
    )
    seller = models.JSONField(null=True, blank=True)
    buyer = models.JSONField(null=True, blank=True)
    expected_on = models.DateField(null=True, blank=True)
    closed_at = models.DateTimeField(null=True, blank=True)
    closed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+", null=True, blank=True
    )
    closing_reason = models.CharField(max_length=200, blank=True)

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(
                name="shop_purchaseorder_status_known",
                condition=Q(status__in=OrderStatus.values),
                violation_error_code="status-unknown",
                violation_error_message="An order is a draft, sent, part received or closed.",
            ),
            models.CheckConstraint(
                name="shop_purchaseorder_currency_code",
                condition=Q(currency__regex="^[A-Z]{3}$", minor_units__lte=3),
                violation_error_code="currency-unknown",
                violation_error_message="The currency is three capital letters (ISO 4217).",
            ),
            models.CheckConstraint(
                name="shop_purchaseorder_sent_complete",
                condition=Q(status=OrderStatus.DRAFT, sequence__isnull=True, number="")
                | Q(
                    ~Q(status=OrderStatus.DRAFT),
                    ~Q(number=""),
                    series__isnull=False,
                    sequence__isnull=False,
                    sent_at__isnull=False,
                    sent_on__isnull=False,
                    sent_by__isnull=False,
                    expected_on__isnull=False,
                    seller__isnull=False,
                    buyer__isnull=False,
                ),
                violation_error_code="order-incomplete",
                violation_error_message=(
                    "An order that was sent has number, days, seller and buyer; a draft has no"
                    " number."
                ),
            ),
            models.CheckConstraint(
                name="shop_purchaseorder_closed_complete",
                condition=Q(
                    status=OrderStatus.CLOSED, closed_at__isnull=False, closed_by__isnull=False
                )
                | Q(
                    ~Q(status=OrderStatus.CLOSED),
                    closed_at__isnull=True,
                    closed_by__isnull=True,
                    closing_reason="",
                ),
                violation_error_code="order-incomplete",
                violation_error_message="A closed order, and no other, says who closed it when.",
            ),
            models.UniqueConstraint(
                name="shop_purchaseorder_number_once",
                fields=["series", "sequence"],
                violation_error_code="number-taken",
                violation_error_message="An order of this number exists already.",
            ),
        ]
        indexes: ClassVar = [
            models.Index(fields=["drafted_at", "id"], name="shop_purchaseorder_by_time"),
        ]
        triggers: ClassVar = [
            *status_edges("shop_purchaseorder", ORDER_EDGES, OrderStatus.DRAFT),
            Guard(
                name="shop_purchaseorder_sent_stays",
                code="order-sent",
                message=SENT_STAYS,
                operation=pgtrigger.Update | pgtrigger.Delete,
                refuse_when=(
                    "OLD.status <> 'draft' AND (TG_OP = 'DELETE' OR"
                    f" {columns('OLD')} IS DISTINCT FROM {columns('NEW')})"
                ),
            ),
            Guard(
                name="shop_purchaseorder_next_number",
                code="number-skipped",
                message="An order takes the number its series gave out last.",
                operation=pgtrigger.UpdateOf("status"),
                refuse_when=(
                    "OLD.status = 'draft' AND NEW.status = 'sent'"
                    " AND NOT EXISTS (SELECT FROM shop_orderseries"
                    " WHERE id = NEW.series_id AND last_number = NEW.sequence)"
                ),
            ),
            Guard(
                name="shop_purchaseorder_sent_with_lines",
                code="order-empty",
                message="An order that is sent has lines.",
                operation=pgtrigger.UpdateOf("status"),
                refuse_when=(
                    "NEW.status = 'sent' AND NOT EXISTS"
                    " (SELECT FROM shop_purchaseorderline WHERE order_id = NEW.id)"
                ),
            ),
            Guard(
                name="shop_purchaseorder_received_by_receipt",
                code="nothing-received",
                message="An order is part received once something of it was received.",
                operation=pgtrigger.UpdateOf("status"),
                refuse_when=(
                    "NEW.status = 'part_received' AND NOT EXISTS"
                    " (SELECT FROM shop_receipt WHERE order_id = NEW.id)"
                ),
            ),
            no_truncate("shop_purchaseorder", SENT_STAYS),
        ]

    def __str__(self) -> str:
        return f"order {self.number or self.pk}"


class PurchaseOrderLine(PackContents):
    """Packs of a part, as the supplier names, numbers and prices them.

    How much a pack holds is kept with the line, so that what comes later is counted by it.
    """

    # Its index is that of the unique constraint below.
    order = models.ForeignKey(
        PurchaseOrder, on_delete=models.CASCADE, related_name="lines", db_index=False
    )
    position = models.PositiveSmallIntegerField()
    part = models.ForeignKey(Part, on_delete=models.PROTECT, related_name="order_lines")
    supplier_part_number = models.CharField(max_length=100, blank=True)
    description = models.CharField(max_length=200)
    pack_text = models.CharField(max_length=120)
    packs = models.PositiveIntegerField()
    pack_price = models.DecimalField(max_digits=14, decimal_places=4)
    net_amount = models.DecimalField(max_digits=14, decimal_places=3)

    class Meta:
        ordering: ClassVar = ["position"]
        constraints: ClassVar = [
            *PackContents.Meta.constraints,
            models.CheckConstraint(
                name="shop_purchaseorderline_amounts_sensible",
                condition=Q(packs__gt=0, pack_price__gte=0, net_amount__gte=0),
                violation_error_code="amount-negative",
                violation_error_message="A line orders a pack or more, at no negative price.",
            ),
            models.UniqueConstraint(
                name="shop_purchaseorderline_position_once",
                fields=["order", "position"],
                violation_error_code="position-taken",
                violation_error_message="An order has one line at a position.",
            ),
            models.UniqueConstraint(
                name="shop_purchaseorderline_pack_once",
                fields=["order", "part", "contents_numerator", "contents_denominator"],
                violation_error_code="pack-ordered-twice",
                violation_error_message="An order has one line for packs of a part and size.",
            ),
        ]
        triggers: ClassVar = [
            Guard(
                name="shop_purchaseorderline_sent_stays",
                code="order-sent",
                message=SENT_STAYS,
                operation=pgtrigger.Insert | pgtrigger.Update | pgtrigger.Delete,
                # The order is locked, so that no line slips in while somebody sends it.
                before_check="""
                    PERFORM FROM shop_purchaseorder WHERE id IN (
                        CASE WHEN TG_OP <> 'INSERT' THEN OLD.order_id END,
                        CASE WHEN TG_OP <> 'DELETE' THEN NEW.order_id END) FOR SHARE;
                """,
                refuse_when="""
                    EXISTS (SELECT FROM shop_purchaseorder WHERE status <> 'draft' AND id IN (
                        CASE WHEN TG_OP <> 'INSERT' THEN OLD.order_id END,
                        CASE WHEN TG_OP <> 'DELETE' THEN NEW.order_id END))
                """,
            ),
            Guard(
                name="shop_purchaseorderline_amount_ties",
                code="totals-differ",
                message="A line comes to its packs times the price of one, rounded once.",
                operation=pgtrigger.Insert | pgtrigger.Update,
                refuse_when="""
                    NEW.net_amount <> (SELECT round(NEW.packs * NEW.pack_price, minor_units)
                        FROM shop_purchaseorder WHERE id = NEW.order_id)
                """,
            ),
            no_truncate("shop_purchaseorderline", SENT_STAYS),
        ]

    def __str__(self) -> str:
        return f"{self.packs} of {self.description}"
