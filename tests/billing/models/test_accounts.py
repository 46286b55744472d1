import pytest

from billing.models import LedgerAccount
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db


def test_an_account_of_money_and_no_other_is_of_a_method():
    for role, method in (("sales", "cash"), ("money", ""), ("money", "barter"), ("stock", "")):
        with refused("billing_ledgeraccount_role_known"):
            LedgerAccount.objects.create(role=role, method=method, code="1", name="One")


def test_each_role_has_one_account():
    with refused("billing_ledgeraccount_one_of_role"):
        LedgerAccount.objects.create(role="money", method="cash", code="1", name="One")


def test_an_account_keeps_its_role_and_is_renamed():
    rows = LedgerAccount.objects.filter(role="sales")
    for wrong in (rows.delete, lambda: rows.update(role="stock")):
        with refused("billing_ledgeraccount_kept"):
            wrong()
    for wrong in ({"code": ""}, {"name": ""}):
        with refused("billing_ledgeraccount_named"):
            rows.update(**wrong)
    with accepted():
        rows.update(code="cash", name="Cash and sales")
