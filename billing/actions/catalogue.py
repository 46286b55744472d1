"""Loading the whole catalogue: the trade's tables, and the price book that goes with them."""

from pathlib import Path

from django.db import transaction

from billing.models import Fee, LabourRate
from diagnostics.actions.catalogue import DIAGNOSTICS_TABLES
from shop.actions.catalogue import PRICE_BOOK, SHOP_TABLES, Loaded, tables_load
from shop.actions.catalogue_files import Table

BILLING_TABLES = (
    Table(LabourRate, PRICE_BOOK, "labour_rate"),
    Table(Fee, PRICE_BOOK, "fee"),
)


@transaction.atomic
def catalogue_load(*, folder: Path) -> list[Loaded]:
    """Load the catalogue and price book in `folder` and return what became of each table's rows.

    Raises:
        InvalidInput: something in the files is wrong; the errors name file, row and column.
        IntegrityError: a guard refuses a change to a row that the shop has.
    """
    return tables_load(tables=[*SHOP_TABLES, *DIAGNOSTICS_TABLES, *BILLING_TABLES], folder=folder)
