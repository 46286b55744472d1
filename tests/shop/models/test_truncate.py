"""TRUNCATE, which row triggers never see: asked for by the tables' owner, who is allowed to."""

import pytest
from django.db import connections

from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db(databases=["default", "owner"])


@pytest.mark.parametrize(
    ("rule", "table"),
    [
        ("shop_move_no_truncate", "shop_move"),
        ("shop_level_no_truncate", "shop_level"),
        ("shop_holding_no_truncate", "shop_holding"),
        ("shop_orderseries_no_truncate", "shop_orderseries"),
        ("shop_purchaseorder_no_truncate", "shop_purchaseorder"),
        ("shop_purchaseorderline_no_truncate", "shop_purchaseorderline"),
        ("shop_receipt_no_truncate", "shop_receipt"),
        ("shop_receiptline_no_truncate", "shop_receiptline"),
        ("shop_supplierreturn_no_truncate", "shop_supplierreturn"),
        ("shop_supplierreturnline_no_truncate", "shop_supplierreturnline"),
        ("shop_countsheet_no_truncate", "shop_countsheet"),
        ("shop_countsheetline_no_truncate", "shop_countsheetline"),
        ("shop_weeklyflow_no_truncate", "shop_weeklyflow"),
        ("shop_weeklybalance_no_truncate", "shop_weeklybalance"),
        ("shop_weeklyuse_no_truncate", "shop_weeklyuse"),
    ],
)
def test_a_ledger_cannot_be_emptied(rule, table):
    with refused(rule, using="owner"), connections["owner"].cursor() as cursor:
        cursor.execute(f"TRUNCATE {table} CASCADE")


def test_what_is_no_ledger_can_be_emptied():
    with accepted(using="owner"), connections["owner"].cursor() as cursor:
        cursor.execute("TRUNCATE shop_firstanswer CASCADE")
