"""Ways in which the work of a request can fail."""

from typing import Any

from django.db import connection, transaction
from rest_framework.exceptions import Throttled
from rest_framework.response import Response

from shop.errors import Refused
from shop.models import Client


def _sql(statement: str) -> Any:
    def run(view: Any) -> Response:
        with connection.cursor() as cursor:
            cursor.execute(statement)
        return Response({})

    return run


def _raise(error: Exception) -> Any:
    def run(view: Any) -> Response:
        raise error

    return run


def _raise_sqlstate(state: str) -> Any:
    return _sql(f"DO $$ BEGIN RAISE EXCEPTION 'probe' USING ERRCODE = '{state}'; END $$")


def _bad_status_in_a_savepoint(view: Any) -> Response:
    with transaction.atomic():
        Client.objects.create(kind="ghost", name="x")
    return Response({})


def _odd_model(view: Any) -> Response:
    Client(kind="ghost", name="").full_clean()
    return Response({})


FAILURES: dict[str, Any] = {
    "bug": _raise(ZeroDivisionError("SELECT secret FROM shop_client")),
    "unregistered": _raise(Refused("never-registered", "?")),
    "not null": _sql("INSERT INTO shop_client (name) VALUES (NULL)"),
    "rule": _bad_status_in_a_savepoint,
    "model": _odd_model,
    "overflow": _sql("UPDATE shop_site SET travel_minutes = 99999999999"),
    "division": _sql("SELECT 1 / 0"),
    "too many": _raise(Throttled(wait=7)),
    "deadlock": _raise_sqlstate("40P01"),
    "lock timeout": _raise_sqlstate("55P03"),
    "server gone": _raise_sqlstate("57P01"),
    "deferred": _sql(
        "INSERT INTO shop_site (client_id, name, street, city, postcode, country, access_notes,"
        " travel_minutes, region) VALUES (0, 'x', '', '', '', '', '', 0, '')"
    ),
}
