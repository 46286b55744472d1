"""What there is of each part, what comes, and what is promised of it."""

from collections import defaultdict
from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from django.db.models import F, QuerySet, Sum

from billing.models import OPEN_STATUSES, QuoteStatus
from billing.queries.shortages import open_lines
from shop.models import Level, OrderStatus, Part, PlaceKind, PurchaseOrderLine
from shop.queries.purchasing import on_order
from shop.rules.quantities import thousandths
from shop.rules.reorder import Stock


def stocks(parts: QuerySet[Part]) -> dict[int, Stock]:
    """Return the stock of each of `parts` of which there is any, in five statements."""
    amounts: defaultdict[int, dict[str, Decimal]] = defaultdict(dict)
    levels = Level.objects.filter(part__in=parts)
    on_hand = levels.filter(place__kind__in=[PlaceKind.SHELF, PlaceKind.VAN])
    for part, quantity in _sums(on_hand, "quantity"):
        amounts[part]["on_hand"] = quantity
    in_bags = levels.filter(place__quotes__status__in=OPEN_STATUSES)
    for part, status, quantity in _sums(in_bags, "quantity", "place__quotes__status"):
        amounts[part]["in_offered" if status == QuoteStatus.OFFERED else "in_approved"] = quantity
    lacking = open_lines().filter(part__in=parts)
    for part, status, quantity in _sums(lacking, "lacking", "quote__status"):
        amounts[part][f"short_on_{status}"] = quantity
    for part, quantity in _sums(on_order().filter(part__in=parts), "awaited_quantity"):
        amounts[part]["on_order"] = quantity
    contents = F("packs") * F("contents_numerator") / F("contents_denominator")
    drafts = PurchaseOrderLine.objects.filter(order__status=OrderStatus.DRAFT, part__in=parts)
    for part, quantity in _sums(drafts.annotate(quantity=contents), "quantity"):
        amounts[part]["drafted"] = thousandths(quantity)
    return {part: Stock(**quantities) for part, quantities in amounts.items()}


def _sums(rows: QuerySet[Any], column: str, *by: str) -> Iterable[tuple[Any, ...]]:
    totals = rows.order_by().values("part", *by).annotate(total=Sum(column))
    yield from totals.values_list("part", *by, "total")
