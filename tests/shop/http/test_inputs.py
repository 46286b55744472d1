"""What the fields of an input take, and what they refuse as 400 before the database can."""

import json

import pytest

from shop.models import Client, Site, Supplier
from tests.shop.http.answers import pointers, problem


def add(caller, **values):
    return caller("POST", "/clients/add", json.dumps({"kind": "person", "name": "Ada"} | values))


@pytest.mark.parametrize(
    ("values", "pointer", "code"),
    [
        ({"name": 5}, "/name", "invalid"),
        ({"name": True}, "/name", "invalid"),
        ({"name": None}, "/name", "null"),
        ({"name": " "}, "/name", "blank"),
        ({"name": "x" * 201}, "/name", "max-length"),
        ({"name": "a\x1bb"}, "/name", "control-or-line"),
        ({"name": "two\nlines"}, "/name", "control-or-line"),
        ({"tags": ["ok", "too long"]}, "/tags/1", "max-length"),
        ({"tags": "text"}, "/tags", "not-a-list"),
        ({"number": 2**63}, "/number", "number-too-large"),
        ({"number": str(2**63)}, "/number", "max-value"),
        ({"number": str(-(2**63))}, "/number", "min-value"),
        ({"number": True}, "/number", "invalid"),
        ({"number": 1.5}, "/number", "invalid"),
        ({"amount": "10000.0"}, "/amount", "max-whole-digits"),
        ({"amount": "0.001"}, "/amount", "max-decimal-places"),
        ({"amount": "1e400"}, "/amount", "max-digits"),
        ({"amount": "NaN"}, "/amount", "invalid"),
        ({"amount": "Infinity"}, "/amount", "invalid"),
        ({"seen_at": "2026-03-29T02:30:00"}, "/seen_at", "no-offset"),  # RFC 3339 section 5.6
        ({"seen_at": "0001-01-01T00:00:00+14:00"}, "/seen_at", "overflow"),
        ({"seen_at": "2026-02-30T00:00:00Z"}, "/seen_at", "invalid"),
        ({"seen_on": "9999-01-01"}, "/seen_on", "overflow"),
        ({"seen_on": "0001-12-31"}, "/seen_on", "overflow"),
        ({"home": "1.0"}, "/home", "incorrect-type"),
        ({"home": 1.5}, "/home", "incorrect-type"),
        ({"home": True}, "/home", "incorrect-type"),
        ({"home": "²"}, "/home", "incorrect-type"),
        ({"home": 1}, "/home", "does-not-exist"),
        ({"home": str(2**63)}, "/home", "does-not-exist"),
        ({"home": "9" * 5000}, "/home", "does-not-exist"),
        ({"id": 1}, "/id", "unknown-member"),
        ({"a/b": 1}, "/a~1b", "unknown-member"),
    ],
)
def test_a_value_that_cannot_be_right_is_pointed_at(owner, values, pointer, code):
    assert pointers(add(owner, **values)) == {pointer: code}
    assert not Client.objects.exists()


def test_every_wrong_value_is_named_at_once(owner):
    response = add(owner, kind="ghost", number="many", colour="red")

    document = problem(response, 400, "invalid-input")
    assert {each["pointer"] for each in document["errors"]} == {"/kind", "/number", "/colour"}
    assert document["detail"].startswith("3 values")


@pytest.mark.parametrize(
    "values",
    [
        {"number": 2**63 - 1},
        {"number": "12"},
        {"amount": "9999.99"},
        {"amount": 1.5},
        {"seen_at": "2026-03-29T02:30:00+02:00"},
        {"seen_at": "2026-03-29t02:30:00z"},  # RFC 3339 section 5.6
        {"seen_on": "9998-12-31"},
        {"seen_on": "0002-01-01"},
        {"tags": []},
    ],
)
def test_a_value_that_can_be_right_is_taken(owner, values):
    assert add(owner, **values).status_code == 201


def test_a_verb_without_values_takes_no_members(owner):
    supplier = Supplier.objects.create(name="Felt", lead_time_days=7)
    path = f"/suppliers/{supplier.pk}/wait"

    assert owner("POST", path).status_code == owner("POST", path, "{}").status_code == 200
    assert pointers(owner("POST", path, '{"days": 3}')) == {"/days": "unknown-member"}
    problem(owner("POST", path, "{"), 400, "malformed-json")
    supplier.refresh_from_db()
    assert supplier.lead_time_days == 9


def test_the_id_of_a_row_is_taken_as_a_number_or_its_digits(owner):
    site = Site.objects.create(client=Client.objects.create(kind="person", name="Bo"), name="Home")

    assert add(owner, home=site.pk).status_code == 201
    assert add(owner, home=str(site.pk)).status_code == 201


def test_text_of_several_lines_is_taken_where_the_field_says_so(owner):
    good = owner("POST", "/suppliers", json.dumps({"name": "Felt", "notes": "one\r\n\ttwo"}))
    bad = owner("POST", "/suppliers", json.dumps({"name": "Cloth", "notes": "bell \x07"}))

    assert good.json()["notes"] == "one\r\n\ttwo"
    assert pointers(bad) == {"/notes": "control"}
