"""Columns of lists: amounts and quantities set in line, and links to other pages."""

from collections.abc import Callable
from decimal import Decimal
from typing import Any

from django.conf import settings
from django.contrib import admin
from django.db.models import Model
from django.urls import reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString

from shop.rules.money import minor_units, rounded
from shop.rules.quantities import plain

Column = Callable[[Any], str]


def amount_text(amount: Decimal) -> str:
    """Return an amount with the decimals of the shop's currency, and more only if it has them."""
    shortest = rounded(amount, minor_units(settings.CURRENCY))
    return f"{shortest:f}" if shortest == amount else plain(amount)


def quantity_text(quantity: Decimal) -> str:
    """Return a quantity without the zeros that say nothing."""
    return plain(quantity)


def amount(name: str, label: str = "") -> Column:
    """Return the column of the amount `name`, in the shop's currency."""
    return _number(name, f"{label or _label(name)} ({settings.CURRENCY})", amount_text)


def quantity(name: str, label: str = "") -> Column:
    """Return the column of the quantity `name`."""
    return _number(name, label or _label(name), quantity_text)


def count(name: str, label: str = "") -> Column:
    """Return the column of the whole number `name`."""
    return _number(name, label or _label(name), str)


def _label(name: str) -> str:
    return name.replace("_", " ")


def _number(name: str, label: str, text: Callable[[Any], str]) -> Column:
    @admin.display(description=label, ordering=name)
    def column(row: Any) -> SafeString:
        return format_html('<span class="number">{}</span>', text(getattr(row, name)))

    column.__name__ = name
    return column


def link(record: Model) -> SafeString:
    """Return a link to the page of a record."""
    options = record._meta
    address = reverse(f"admin:{options.app_label}_{options.model_name}_change", args=[record.pk])
    return format_html('<a href="{}">{}</a>', address, record)
