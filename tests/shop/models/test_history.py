import pytest
from django.db import ProgrammingError, connection

from tests.factories.shop import (
    ClientFactory,
    InstrumentFactory,
    PartFactory,
    PartPriceFactory,
    SiteFactory,
    SupplierFactory,
    TaxRateFactory,
)
from tests.shop.models.history import labels_and_values, lived_in_raw_sql

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("factory", "apart", "column", "before", "after"),
    [
        (ClientFactory, {}, "phone", "none", "555 0100"),
        (SiteFactory, {}, "city", "Lower Mere", "Upper Mere"),
        (InstrumentFactory, {}, "serial_number", "QD 1", "QD 7"),
        (SupplierFactory, {"name": "Another"}, "email", "old@felt.example", "new@felt.example"),
        (PartFactory, {"code": "another"}, "price", "2.5000", "2.7500"),
        (PartPriceFactory, {"valid_from": "1990-01-01"}, "price", "2.5000", "2.7500"),
        (
            TaxRateFactory,
            {"valid_from": "1990-01-01", "valid_until": "1999-01-01"},
            "percent",
            "5.000",
            "6.250",
        ),
    ],
)
def test_history_is_kept_of_what_raw_sql_does(factory, apart, column, before, after):
    history = lived_in_raw_sql(factory(), apart, column, [before, after])
    assert history == [("insert", before), ("update", after), ("delete", after)]


def test_an_update_that_changes_nothing_leaves_no_history():
    history = lived_in_raw_sql(ClientFactory(), {}, "phone", ["none", "none"])
    assert history == [("insert", "none"), ("delete", "none")]


def test_the_digest_of_a_shipped_row_is_no_history():
    row = PartFactory()
    type(row).objects.filter(pk=row.pk).update(shipped_digest="5f")
    assert labels_and_values("shop_partevent", row.pk, "code") == [("insert", row.code)]


def test_history_is_kept_of_the_one_shop_profile():
    with connection.cursor() as cursor:
        cursor.execute("UPDATE shop_shopprofile SET payment_days = 21")
    assert labels_and_values("shop_shopprofileevent", 1, "payment_days") == [("update", "21")]


@pytest.mark.parametrize(
    "statement",
    ["UPDATE shop_clientevent SET name = 'nobody'", "DELETE FROM shop_clientevent"],
)
def test_history_is_never_rewritten(statement):
    ClientFactory()
    with (
        pytest.raises(ProgrammingError, match="Cannot update or delete"),
        connection.cursor() as cursor,
    ):
        cursor.execute(statement)
