"""From the reorder report to orders."""

from collections.abc import Collection

from django.db import transaction

from billing.queries.reorder import reorder_report
from shop.actions.order_batches import Batch, Wanted, orders_draft_for
from shop.actions.order_lines import OrderLineDraft
from shop.actions.orders import Drafted


@transaction.atomic
def reorder_draft(*, drafted: Drafted, supplier_ids: Collection[int] | None = None) -> Batch:
    """Return draft orders for what the reorder report suggests, one for each supplier.

    With `supplier_ids` only those suppliers are ordered from.
    """
    rows = reorder_report(now=drafted.drafted_at, needed_only=True)
    wanted = [
        Wanted(row.supplier, OrderLineDraft(row.part, row.found.packs, row.found.terms.offer_id))
        for row in rows
        if supplier_ids is None or (row.supplier and row.supplier.pk in supplier_ids)
    ]
    return orders_draft_for(wanted=wanted, drafted=drafted)
