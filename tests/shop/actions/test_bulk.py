from decimal import Decimal

import pytest
from django.db import connection, transaction

from shop.actions.bulk import Rows, columns_of, rows_insert
from shop.database.prepared import prepare
from shop.models import Move, Place, PlaceKind
from tests.factories.shop import PartFactory
from tests.factories.world import NOW, main_shelf, stock

pytestmark = pytest.mark.django_db


def bag(name):
    return columns_of(Place(kind=PlaceKind.BAG, name=name))


def test_rows_get_their_keys_in_the_order_they_were_given():
    (keys,) = rows_insert(Rows(Place, [bag("Job bag 1"), bag("Job bag 2")]))
    assert [Place.objects.get(pk=key).name for key in keys] == ["Job bag 1", "Job bag 2"]


def test_an_empty_batch_has_no_keys_and_the_others_are_stored():
    assert rows_insert(Rows(Place, [])) == [[]]
    none, (key,) = rows_insert(Rows(Place, []), Rows(Place, [bag("Job bag 1")]))
    assert none == []
    assert Place.objects.get(pk=key).name == "Job bag 1"


def test_a_row_may_stand_under_one_that_is_stored_by_the_same_statement():
    pins = PartFactory()
    stock(pins, 3, Decimal("0.10"))
    new_bag = Rows(Place, [bag("Job bag 1")])
    move = {
        "part_id": pins.pk,
        "from_place_id": main_shelf().pk,
        "quantity": Decimal(2),
        "value": Decimal("0.20"),
        "reason": "bagged",
        "reference": "",
        "moved_at": NOW,
        "moved_by_id": None,
    }
    (bag_key,), (move_key,) = rows_insert(new_bag, Rows(Move, [move], {"to_place_id": new_bag}))
    assert Move.objects.get(pk=move_key).to_place_id == bag_key


def test_a_prepared_statement_outlives_the_transaction_that_prepared_it():
    with transaction.atomic():
        name = prepare("SELECT $1 + 1", ["integer"])
        transaction.set_rollback(True)
    assert prepare("SELECT $1 + 1", ["integer"]) == name
    with connection.cursor() as cursor:
        cursor.execute(f"EXECUTE {name} (41)")
        assert cursor.fetchone() == (42,)
