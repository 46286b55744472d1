"""The next number of a document: a step of issuing or sending it."""

from typing import TypeVar

from shop.models.number_series import DocumentSeries

Series = TypeVar("Series", bound=DocumentSeries)


def number_take(*, series: type[Series], code: str, year: int) -> Series:
    """Take the next number of a series and year; its row stays locked until the commit."""
    rows = series._default_manager
    rows.bulk_create([series(code=code, year=year)], ignore_conflicts=True)
    row = rows.select_for_update().get(code=code, year=year)
    row.last_number += 1
    row.save(update_fields=["last_number"])
    return row
