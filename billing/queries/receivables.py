"""What was owed on any day, how long it had been, and what clients had to their credit."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from itertools import groupby
from typing import Any

from django.conf import settings
from django.db.models import F, QuerySet, Sum

from billing.models import Allocation, InvoiceStatus, Payment, Refund
from billing.queries.invoices import invoices
from billing.queries.payments import NOTHING
from billing.rules.ageing import bucket_names, bucket_of, days_overdue, summed
from shop.models import Client, ShopProfile


def invoices_owed(on: date) -> QuerySet[Any]:
    """Return the invoices on which something was due at the end of a day, by client and due day.

    Each has `open_total`, which is what was due on it, in the shop's currency.
    """
    issued = invoices(on).filter(
        status=InvoiceStatus.ISSUED, issued_on__lte=on, currency=settings.CURRENCY
    )
    owed: QuerySet[Any] = issued.filter(due_total__gt=0).annotate(open_total=F("due_total"))
    return owed.select_related("client").order_by("client__name", "client_id", "due_on", "id")


def credits_held(on: date) -> dict[int, Decimal]:
    """Return what clients, by their keys, had paid at the end of a day beyond what it settled."""
    held: dict[int, Decimal] = defaultdict(Decimal)
    for model, path, sign in (
        (Payment, "", 1),
        (Allocation, "payment__", -1),
        (Refund, "payment__", -1),
    ):
        rows = model._default_manager.filter(
            booked_on__lte=on, **{f"{path}currency": settings.CURRENCY}
        )
        sums = rows.order_by().values_list(f"{path}client").annotate(total=Sum("amount"))
        for key, total in sums:
            held[key] += sign * total
    return {key: total for key, total in held.items() if total}


@dataclass(frozen=True)
class OwedInvoice:
    """An invoice, how many days it was overdue, and which bucket that is."""

    invoice: Any
    days_overdue: int
    bucket: str


@dataclass(frozen=True)
class ClientOwing:
    """What a client owed by bucket and in all, and had to their credit."""

    client: Client
    amounts: list[Decimal]
    owed_total: Decimal
    credit_total: Decimal


@dataclass(frozen=True)
class AgedReceivables:
    """What was owed at the end of a day, by invoice and client, and the sums of the buckets."""

    on: date
    buckets: list[str]
    items: list[OwedInvoice]
    clients: list[ClientOwing]
    amounts: list[Decimal]
    owed_total: Decimal
    credit_total: Decimal


def aged_receivables(on: date) -> AgedReceivables:
    """Return what was owed at the end of a day, in six statements for any number of invoices."""
    limits = ShopProfile.objects.get().aged_days
    names = bucket_names(limits)
    owed = list(_aged(on, limits, names))
    held = credits_held(on)
    clients = list(_clients(owed, names, held))
    return AgedReceivables(
        on=on,
        buckets=names,
        items=owed,
        clients=clients,
        amounts=summed([each.amounts for each in clients], len(names)),
        owed_total=sum((each.owed_total for each in clients), NOTHING),
        credit_total=sum((each.credit_total for each in clients), NOTHING),
    )


def _aged(on: date, limits: list[int], names: list[str]) -> Iterator[OwedInvoice]:
    for invoice in invoices_owed(on):
        days = days_overdue(invoice.due_on, on)
        yield OwedInvoice(invoice, days, names[bucket_of(days, limits)])


def _clients(
    owed: list[OwedInvoice], names: list[str], held: dict[int, Decimal]
) -> Iterator[ClientOwing]:
    """Yield those who owe something, by name, and then those who only have credit."""
    owing = set()
    for client, group in groupby(owed, key=lambda each: each.invoice.client):
        amounts = dict.fromkeys(names, NOTHING)
        for each in group:
            amounts[each.bucket] += each.invoice.open_total
        owing.add(client.pk)
        total = sum(amounts.values(), NOTHING)
        yield ClientOwing(client, list(amounts.values()), total, held.get(client.pk, NOTHING))
    for client in Client.objects.filter(pk__in=set(held) - owing).order_by("name", "pk"):
        yield ClientOwing(client, [NOTHING] * len(names), NOTHING, held[client.pk])
