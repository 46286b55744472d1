"""The reorder report: where every part stands and what to order."""

from collections import defaultdict
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any

from django.db.models import QuerySet

from billing.queries.approval import approval_chance
from billing.queries.demand import Demand, Weeks, demand, with_first_week
from billing.queries.stocks import stocks
from shop.models import WHOLE_UNITS, Part, ShopProfile, Supplier
from shop.queries.purchasing import offers
from shop.rules.lead_time import lead_time
from shop.rules.minimum_order import Orderable, filled_up
from shop.rules.order_quantity import OrderCosts, PriceFrom
from shop.rules.reorder import Policy, Reorder, Stock, Terms, reorder, with_packs, yearly_demand
from shop.rules.reorder_reasons import Reason, reasons

NOTHING = Stock()
DAY = timedelta(days=1)


@dataclass(frozen=True)
class ReorderRow:
    """A part, where it stands, what was asked for, and what to order of whom.

    The supplier's offer is None when the part is bought at what stands with itself.
    """

    part: Part
    supplier: Supplier | None
    stock: Stock
    policy: Policy
    asked: Weeks
    found: Reorder

    @property
    def weeks(self) -> int:
        """How many weeks of demand there are."""
        return len(self.asked.demand)

    @property
    def suggested_quantity(self) -> Decimal:
        """What to order, in the part's unit."""
        return self.found.packs * self.found.terms.pack_quantity

    @property
    def reasons(self) -> list[Reason]:
        """Each number with the formula that gives it."""
        return reasons(self.stock, self.policy, self.weeks, self.found)

    @property
    def reasons_without_costs(self) -> list[Reason]:
        """Those of the formulas that do not tell what the shop pays."""
        return [reason for reason in self.reasons if not reason.tells_cost]


@dataclass(frozen=True)
class SupplierRows:
    """What to order of one supplier, or of nobody known yet."""

    supplier: Supplier | None
    rows: list[ReorderRow]

    @property
    def cost(self) -> Decimal:
        """What all of it costs."""
        return sum((row.found.cost for row in self.rows), Decimal(0))

    @property
    def minimum(self) -> Decimal:
        """The least that the supplier takes an order of."""
        return self.supplier.minimum_order_value if self.supplier else Decimal(0)

    @property
    def missing(self) -> Decimal:
        """By how much the order is below that."""
        return max(self.minimum - self.cost, Decimal(0))


def reorder_report(*, now: datetime, needed_only: bool = False) -> list[ReorderRow]:
    """Return a row for each active part, by code; `needed_only` leaves out what is not ordered.

    Where an order would be below its supplier's minimum, it is filled up with what runs out next.
    It is the same number of statements for any number of parts, and none reads the ledger.
    """
    rows = _rows(Part.objects.filter(is_active=True), now)
    groups: defaultdict[int | None, list[int]] = defaultdict(list)
    for index, row in enumerate(rows):
        groups[row.supplier.pk if row.supplier else None].append(index)
    for indexes in groups.values():
        filled = _filled_up([rows[index] for index in indexes])
        for index, row in zip(indexes, filled, strict=True):
            rows[index] = row
    return [row for row in rows if row.found.packs or not needed_only]


def reorder_by_supplier(*, now: datetime) -> list[SupplierRows]:
    """Return what to order, by supplier's name; what has no supplier comes last."""
    groups: defaultdict[Supplier | None, list[ReorderRow]] = defaultdict(list)
    for row in reorder_report(now=now, needed_only=True):
        groups[row.supplier].append(row)
    found = [SupplierRows(supplier, rows) for supplier, rows in groups.items()]
    return sorted(found, key=lambda each: (each.supplier is None, str(each.supplier)))


def reorder_row(*, part: Part, now: datetime) -> ReorderRow:
    """Return the row of one part, without what its supplier's minimum would add."""
    (row,) = _rows(Part.objects.filter(pk=part.pk), now, part.pk)
    return row


def _rows(parts: QuerySet[Part], now: datetime, part_id: int | None = None) -> list[ReorderRow]:
    policy = _policy(now)
    asked = demand(now=now, chance=policy.approval_chance, part_id=part_id)
    there = stocks(parts)
    offered: defaultdict[int, list[Any]] = defaultdict(list)
    for offer in offers().filter(part__in=parts):
        offered[offer.part_id].append(offer)
    found = with_first_week(parts).select_related("supplier").order_by("code")
    return [
        _row(part, offered[part.pk], there.get(part.pk, NOTHING), policy, asked) for part in found
    ]


def _policy(now: datetime) -> Policy:
    profile = ShopProfile.objects.get()
    return Policy(
        service_level_percent=profile.service_level_percent,
        review_days=profile.stock_review_days,
        costs=OrderCosts(profile.order_cost, profile.holding_cost_percent),
        approval_chance=approval_chance(now),
    )


def _row(part: Any, offered: list[Any], stock: Stock, shops: Policy, asked: Demand) -> ReorderRow:
    level = part.service_level_percent
    policy = replace(shops, service_level_percent=level) if level else shops
    known = asked.weeks_of(part.pk, part.first_week)
    # A part without a supplier of its own is bought of whoever offers it.
    usual = [offer for offer in offered if part.supplier_id in (offer.supplier_id, None)]
    terms = [_offered(offer) for offer in usual] or [_usual(part)]
    found = reorder(stock, terms, policy, known.demand, whole=part.unit in WHOLE_UNITS)
    sellers = {offer.pk: offer.supplier for offer in usual}
    supplier = sellers.get(found.terms.offer_id, part.supplier)
    return ReorderRow(part, supplier, stock, policy, known, found)


def _offered(offer: Any) -> Terms:
    stated = offer.lead_time_days
    stated = offer.supplier.lead_time_days if stated is None else stated
    quartiles = [time / DAY for time in offer.lead_times or ()]
    contents = offer.contents_numerator / offer.contents_denominator
    return Terms(
        lead_time=lead_time(stated, quartiles, offer.receipt_count),
        pack_quantity=contents,
        prices=[PriceFrom(each.from_packs, each.price) for each in offer.price_breaks.all()],
        offer_id=offer.pk,
    )


def _usual(part: Part) -> Terms:
    return Terms(
        lead_time=lead_time(part.lead_time_days),
        pack_quantity=part.pack_quantity,
        prices=[PriceFrom(1, part.cost * part.pack_quantity)],
    )


def _filled_up(rows: list[ReorderRow]) -> list[ReorderRow]:
    """Return one supplier's rows, with what makes their order reach the supplier's minimum."""
    group = SupplierRows(rows[0].supplier, rows)
    if not group.cost or not group.missing:
        return rows
    asked_for = [row for row in rows if row.found.order]
    others = sum((row.found.cost for row in rows if not row.found.order), Decimal(0))
    packs = filled_up([_orderable(row) for row in asked_for], group.minimum - others)
    more = {
        row.part.pk: replace(row, found=with_packs(row.found, count))
        for row, count in zip(asked_for, packs, strict=True)
        if count > row.found.packs
    }
    return [more.get(row.part.pk, row) for row in rows]


def _orderable(row: ReorderRow) -> Orderable:
    pack = row.found.terms.pack_quantity
    return Orderable(
        packs=row.found.packs,
        position=row.found.position / pack,
        yearly=yearly_demand(row.found.forecast.per_week) / pack,
        prices=row.found.terms.prices,
    )
