"""The reorder report: where every part stands and what to order."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from decimal import Decimal
from typing import Any

from django.db.models import QuerySet, Sum

from billing.models import OPEN_STATUSES, QuoteStatus
from billing.queries.approval import approval_chance
from billing.queries.demand import Demand, demand, with_first_week
from billing.queries.shortages import short_lines
from shop.models import WHOLE_UNITS, Level, Part, PlaceKind, ShopProfile, Supplier
from shop.rules.lead_time import lead_time
from shop.rules.order_quantity import OrderCosts, PriceFrom
from shop.rules.reorder import Policy, Reorder, Stock, Terms, reorder
from shop.rules.reorder_reasons import Reason, reasons

NOTHING = Stock()


@dataclass(frozen=True)
class ReorderRow:
    """A part, where it stands, what was asked for, and what follows from that."""

    part: Part
    stock: Stock
    terms: Terms
    policy: Policy
    demand: list[float]
    found: Reorder

    @property
    def weeks(self) -> int:
        """How many weeks of demand there are."""
        return len(self.demand)

    @property
    def suggested_quantity(self) -> Decimal:
        """What to order, in the part's unit."""
        return self.found.packs * self.terms.pack_quantity

    @property
    def reasons(self) -> list[Reason]:
        """Each number with the formula that gives it."""
        return reasons(self.stock, self.terms, self.policy, self.weeks, self.found)

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


def reorder_report(
    *, now: datetime, needed_only: bool = False, part_code: str | None = None
) -> Iterator[ReorderRow]:
    """Yield a row for each active part, by code; `needed_only` leaves out what need not be ordered.

    With `part_code` there is that part's row alone. It is the same number of statements for any
    number of parts, and none of them reads the ledger.
    """
    parts = Part.objects.filter(is_active=True)
    if part_code is not None:
        parts = parts.filter(code=part_code)
    policy = _policy(now)
    asked = demand(parts, now=now, chance=policy.approval_chance)
    stocks = _stocks(parts)
    for part in with_first_week(parts).select_related("supplier").order_by("code"):
        row = _row(part, stocks.get(part.pk, NOTHING), policy, asked)
        if row.found.packs or not needed_only:
            yield row


def reorder_by_supplier(*, now: datetime) -> list[SupplierRows]:
    """Return what need be ordered, by supplier's name; what has no supplier comes last."""
    groups: defaultdict[Supplier | None, list[ReorderRow]] = defaultdict(list)
    for row in reorder_report(now=now, needed_only=True):
        groups[row.part.supplier].append(row)
    found = [SupplierRows(supplier, rows) for supplier, rows in groups.items()]
    return sorted(found, key=lambda each: (each.supplier is None, str(each.supplier)))


def _policy(now: datetime) -> Policy:
    profile = ShopProfile.objects.get()
    return Policy(
        service_level_percent=profile.service_level_percent,
        review_days=profile.stock_review_days,
        costs=OrderCosts(profile.order_cost, profile.holding_cost_percent),
        approval_chance=approval_chance(now),
    )


def _row(part: Any, stock: Stock, shops: Policy, asked: Demand) -> ReorderRow:
    level = part.service_level_percent
    policy = replace(shops, service_level_percent=level) if level else shops
    terms = Terms(
        lead_time=lead_time(part.lead_time_days),
        pack_quantity=part.pack_quantity,
        prices=[PriceFrom(1, part.cost * part.pack_quantity)],
    )
    weeks = asked.weeks_of(part.pk, part.first_week)
    found = reorder(stock, terms, policy, weeks, whole=part.unit in WHOLE_UNITS)
    return ReorderRow(part, stock, terms, policy, weeks, found)


def _stocks(parts: QuerySet[Part]) -> dict[int, Stock]:
    """Return what there is of each part and what is promised of it, in three statements."""
    amounts: defaultdict[int, dict[str, Decimal]] = defaultdict(dict)
    levels = Level.objects.filter(part__in=parts)
    on_hand = levels.filter(place__kind__in=[PlaceKind.SHELF, PlaceKind.VAN])
    for part, quantity in _sums(on_hand, "quantity"):
        amounts[part]["on_hand"] = quantity
    in_bags = levels.filter(place__quote__status__in=OPEN_STATUSES)
    for part, status, quantity in _sums(in_bags, "quantity", "place__quote__status"):
        amounts[part]["in_offered" if status == QuoteStatus.OFFERED else "in_approved"] = quantity
    short = short_lines().filter(part__in=parts, quote__status__in=OPEN_STATUSES)
    for part, status, quantity in _sums(short, "lacking", "quote__status"):
        amounts[part][f"short_on_{status}"] = quantity
    return {part: Stock(**quantities) for part, quantities in amounts.items()}


def _sums(rows: QuerySet[Any], column: str, *by: str) -> Iterable[tuple[Any, ...]]:
    totals = rows.order_by().values("part", *by).annotate(total=Sum(column))
    yield from totals.values_list("part", *by, "total")
