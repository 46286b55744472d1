"""What to order, as pages: the report by supplier, and each part with its plot and its reasons."""

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.safestring import mark_safe
from django.views.decorators.http import require_safe

from billing.queries.reorder import (
    ReorderRow,
    SupplierRows,
    reorder_by_supplier,
    reorder_report,
    reorder_row,
)
from billing.rules.stock_picture import StockWeeks, stock_svg
from shop.models import Part
from shop.pages.readers import for_readers, sees_costs
from shop.queries.holdings import held_by_week
from shop.rules.forecasting import all_forecasts


@require_safe
@for_readers
def reorder_page(request: HttpRequest) -> HttpResponse:
    """Return what to order by supplier, or with `?all=yes` where every part stands."""
    now, shows_all = timezone.now(), request.GET.get("all") == "yes"
    groups: list[SupplierRows] = (
        [SupplierRows(None, reorder_report(now=now))] if shows_all else reorder_by_supplier(now=now)
    )
    context = {"groups": groups, "shows_all": shows_all, "now": now}
    return _rendered(request, "billing/reorder.html", context)


@require_safe
@for_readers
def reorder_part_page(request: HttpRequest, code: str) -> HttpResponse:
    """Return a part's stock, demand and forecast, and each number with its formula.

    Raises:
        Http404: there is no such part.
    """
    part = Part.objects.filter(code=code).first()
    if part is None:
        raise Http404
    now = timezone.now()
    row = reorder_row(part=part, now=now)
    # Every text in it is escaped where it is drawn.
    plot = mark_safe(stock_svg(_drawn(row))) if row.weeks else ""  # noqa: S308
    reasons = row.reasons if sees_costs(request.user) else row.reasons_without_costs
    context = {"row": row, "plot": plot, "reasons": reasons, "now": now}
    return _rendered(request, "billing/reorder_part.html", context)


def _rendered(request: HttpRequest, template: str, context: dict[str, Any]) -> HttpResponse:
    return render(request, template, context | {"sees_costs": sees_costs(request.user)})


def _drawn(row: ReorderRow) -> StockWeeks:
    """Return a part's weeks to draw, in floats as all pictures are."""
    first_week, demand = row.asked
    held = held_by_week(row.part, first_week, row.weeks)
    return StockWeeks(
        name=row.part.name,
        unit=row.part.get_unit_display(),
        first_week=first_week,
        held=[float(quantity) for quantity in held],
        demand=demand,
        forecasts=all_forecasts(demand)[row.found.forecast.method],
        reorder_point=float(row.found.reorder_point),
    )
