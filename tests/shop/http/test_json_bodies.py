"""Strict JSON: RFC 8259 with the limits of RFC 7493 (I-JSON)."""

import io
import json
from decimal import Decimal

import pytest

from shop.http.parsers import MAX_DEPTH
from shop.models import Client, Supplier
from tests.shop.http.answers import pointers, problem


def nested(depth):
    return '{"a":' * (depth - 1) + "{}" + "}" * (depth - 1)


MALFORMED = [
    b"",  # no body is the empty object, in which the name is missing
    b"{",
    b"nonsense",
    b'{"name": "a"} {"name": "b"}',
    b'{"name": "a",}',
    b"{'name': 'a'}",
    b'{"name": "a", "name": "b"}',  # RFC 7493 section 2.3
    b'{"name": "a", "inner": {"x": 1, "x": 2}}',
    b'{"lead_time_days": NaN}',  # RFC 8259 section 6
    b'{"lead_time_days": Infinity}',
    b'{"lead_time_days": -Infinity}',
    b'{"lead_time_days": ' + b"9" * 5000 + b"}",
    b'{"name": "Fl\xfcgel"}',  # ISO 8859-1; RFC 8259 section 8.1 wants UTF-8
    '{"name": "a"}'.encode("utf-16"),
    nested(MAX_DEPTH + 1).encode(),
    b"[" * 100_000,
    b'{"a":' * 100_000,
]


@pytest.mark.parametrize("body", MALFORMED[1:], ids=lambda body: repr(body[:30]))
def test_what_is_not_strict_json_is_refused_and_nothing_stored(owner, body):
    problem(owner("POST", "/suppliers", body), 400, "malformed-json")
    assert not Supplier.objects.exists()


def test_no_body_is_an_object_without_members(owner):
    assert pointers(owner("POST", "/suppliers")) == {"/name": "required"}


def test_where_reading_stopped_is_said(owner):
    document = problem(owner("POST", "/suppliers", '{"name": \n x}'), 400, "malformed-json")

    assert "line 2, column 2" in document["detail"]


def test_a_byte_order_mark_is_passed_over(owner):
    body = b"\xef\xbb\xbf" + b'{"name": "Felt"}'  # RFC 8259 section 8.1 allows it

    assert owner("POST", "/suppliers", body).status_code == 201


def test_nesting_as_deep_as_the_bound_is_read(owner):
    refused = pointers(owner("POST", "/suppliers", nested(MAX_DEPTH)))

    assert refused == {"/name": "required", "/a": "unknown-member"}


@pytest.mark.parametrize("charset", ["iso-8859-1", "utf-16", "nonsense"])
def test_another_charset_is_refused(owner, charset):
    response = owner("POST", "/suppliers", '{"name": "a"}', f"application/json; charset={charset}")

    assert charset in problem(response, 400, "malformed-json")["detail"]


def test_utf_8_may_be_said(owner):
    media_type = "Application/JSON; charset=UTF-8"  # types are without case: RFC 9110 section 8.3.1

    assert owner("POST", "/suppliers", '{"name": "Tübingen"}', media_type).status_code == 201
    assert Supplier.objects.get().name == "Tübingen"


@pytest.mark.parametrize(
    ("body", "pointer", "code"),
    [
        ('{"name": "a\\u0000b"}', "/name", "character-not-allowed"),
        ('{"name": "\\ud800"}', "/name", "character-not-allowed"),  # RFC 7493 section 2.1
        ('{"na\\u0000me": "a"}', "", "character-not-allowed"),
        ('{"inner": [1, {"x/y": "\\u0000"}]}', "/inner/1/x~1y", "character-not-allowed"),
        ('{"lead_time_days": 9223372036854775808}', "/lead_time_days", "number-too-large"),  # 2^63
        ("[]", "", "not-an-object"),
        ('"text"', "", "not-an-object"),
        ("null", "", "not-an-object"),
        ("1", "", "not-an-object"),
    ],
)
def test_what_no_field_can_hold_is_pointed_at(owner, body, pointer, code):
    assert pointers(owner("POST", "/suppliers", body)) == {pointer: code}


def test_a_list_is_taken_only_where_the_view_says_so(owner):
    body = json.dumps([{"kind": "person", "name": "Ada"}, {"kind": "person", "name": "Bo"}])

    assert owner("POST", "/clients/add", body).status_code == 201
    assert pointers(owner("POST", "/clients/add", "1")) == {"": "not-an-object"}
    assert Client.objects.count() == 2


def test_errors_of_a_list_name_the_row_and_nothing_is_stored(owner):
    rows = [{"kind": "person", "name": "Ada"}, {"kind": "ghost", "name": "Bo", "x": 1}, {}, 5]

    assert pointers(owner("POST", "/clients/add", json.dumps(rows))) == {
        "/1/kind": "invalid-choice",
        "/1/x": "unknown-member",
        "/2/kind": "required",
        "/2/name": "required",
        "/3": "invalid",
    }
    assert not Client.objects.exists()


def test_an_action_counts_the_rows_of_a_list_and_names_none_of_a_single_object(owner):
    row = {"kind": "person", "name": "nobody"}

    assert pointers(owner("POST", "/clients/add", json.dumps([row, row]))) == {
        "/0/name": "name-silly",
        "/1/name": "name-silly",
    }
    assert pointers(owner("POST", "/clients/add", json.dumps(row))) == {"/name": "name-silly"}


def test_an_empty_list_is_refused(owner):
    assert pointers(owner("POST", "/clients/add", "[]")) == {"": "row-count"}


def test_numbers_with_a_fraction_keep_their_digits(owner):
    body = '{"how": 0.10000000000000000555}'

    from shop.http.parsers import _parsed

    assert _parsed(body) == {"how": Decimal("0.10000000000000000555")}


@pytest.mark.parametrize(("size", "status"), [(64, 200), (65, 413)])
def test_a_body_has_a_bound_that_a_view_may_set(owner, size, status):
    body = '{"a": "' + "x" * (size - 9) + '"}'

    assert len(body) == size
    assert owner("POST", "/clients/small", body).status_code == status


def test_a_body_that_is_said_to_be_huge_is_refused_unread(owner):
    class Unreadable:
        def read(self, *_):
            raise AssertionError("the body was read")

        readline = read

    response = owner.browser.post(
        "/api/v1/suppliers",
        headers=owner.headers,
        CONTENT_LENGTH="10000000",
        CONTENT_TYPE="application/json",
        **{"wsgi.input": Unreadable()},
    )

    problem(response, 413, "body-too-large")


@pytest.mark.parametrize("length", ["-1", "1e3", "²"])
def test_a_length_that_is_no_number_is_refused(owner, length):
    response = owner.browser.generic(
        "POST", "/api/v1/suppliers", headers=owner.headers, CONTENT_LENGTH=length
    )

    problem(response, 413, "body-too-large")


def test_a_body_that_ends_early_is_refused_though_what_came_could_be_read(owner):
    response = owner.browser.generic(
        "POST",
        "/api/v1/clients/add",
        headers=owner.headers,
        content_type="text/csv",
        **{"wsgi.input": io.BytesIO(b"kind,name\nperson,Ada\n"), "CONTENT_LENGTH": "50"},
    )

    assert "ended after 21 bytes" in problem(response, 400, "bad-request")["detail"]
    assert not Client.objects.exists()


def test_a_body_in_chunks_is_asked_for_its_length(owner):
    response = owner("POST", "/suppliers", Transfer_Encoding="chunked")

    problem(response, 411, "length-required")  # RFC 9110 section 15.5.12
