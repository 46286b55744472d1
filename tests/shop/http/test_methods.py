"""Methods, addresses, headers and media types: RFC 9110."""

import csv
import io
import json

import pytest

from shop.http.cells import cell
from shop.http.renderers import PlainJSONRenderer
from shop.models import Client, Supplier
from tests.shop.http.answers import problem


@pytest.fixture
def felt(db):
    return Supplier.objects.create(name="Felt")


def test_head_is_get_without_a_body(owner, felt):
    for path in ("/suppliers", f"/suppliers/{felt.pk}", "/clients/sheet"):
        read, head = owner("GET", path), owner("HEAD", path)
        assert (head.status_code, head.content) == (200, b"")
        for header in ("Content-Type", "Content-Length", "Cache-Control", "ETag", "Allow"):
            assert head.get(header) == read.get(header)


def test_options_says_what_an_address_takes(owner, technician, nobody, felt):
    one = owner("OPTIONS", f"/suppliers/{felt.pk}")
    assert (one.status_code, one["Allow"]) == (204, "GET, PATCH, DELETE, HEAD, OPTIONS")
    assert technician("OPTIONS", f"/suppliers/{felt.pk}/wait")["Allow"] == "POST, OPTIONS"
    problem(nobody("OPTIONS", "/suppliers"), 401, "not-authenticated")


@pytest.mark.parametrize("method", ["GET", "PUT", "PATCH", "DELETE", "TRACE"])
def test_a_verb_takes_only_post(owner, technician, felt, method):
    for caller in (owner, technician):
        response = caller(method, f"/suppliers/{felt.pk}/wait", "{}")
        problem(response, 405, "method-not-allowed")
        assert response["Allow"] == "POST, OPTIONS"


def test_a_slash_at_the_end_is_taken_and_never_redirected(owner, felt):
    assert owner("POST", "/suppliers/", '{"name": "Cloth"}').status_code == 201
    assert owner("GET", f"/suppliers/{felt.pk}/").status_code == 200
    assert owner("POST", f"/suppliers/{felt.pk}/wait/").status_code == 200
    problem(owner("GET", f"/suppliers/{felt.pk}//"), 404, "not-found")


@pytest.mark.parametrize("key", ["0", "01", "-1", "1.0", "x", "%00", "1%0A", "9" * 20, "9" * 5000])
def test_what_is_no_id_is_not_found(owner, felt, key):
    problem(owner("GET", f"/suppliers/{key}"), 404, "not-found")


def test_answers_are_kept_by_nobody_and_vary_by_person_and_media_type(owner, nobody, felt):
    answers = [
        owner("GET", "/suppliers"),
        owner("GET", f"/suppliers/{felt.pk}"),
        owner("POST", "/suppliers", "{}"),
        owner("PUT", "/suppliers"),
        nobody("GET", "/suppliers"),
    ]
    for answer in answers:
        assert answer["Cache-Control"] == "no-store"  # RFC 9111 section 5.2.2.5
        assert {"Accept", "Authorization"} <= set(answer["Vary"].split(", "))
    assert owner("GET", "/nothing")["Cache-Control"] == "no-store"


# RFC 9110 section 12.5.1: the most specific range counts, then its quality; 0 means never.
@pytest.mark.parametrize(
    ("accept", "media_type"),
    [
        ("*/*", "application/json"),
        ("application/*", "application/json"),
        ("text/csv", "text/csv"),
        ("text/*, application/json;q=0.9", "text/csv"),
        ("text/csv;q=0.1, application/json", "application/json"),
        ("text/csv;q=0.9, */*;q=0.1", "text/csv"),
        ("text/html, */*;q=0.8", "application/json"),
        ("application/json;q=0, */*", "text/csv"),
        ("application/json; indent=4, text/csv;q=0.5", "text/csv"),
        (None, "application/json"),
    ],
)
def test_the_media_type_is_the_one_preferred(owner, accept, media_type):
    headers = {"Accept": accept} if accept else {}

    response = owner("GET", "/clients/sheet", **headers)

    assert response["Content-Type"].partition(";")[0] == media_type


@pytest.mark.parametrize(
    "accept",
    [
        "application/xml",
        "text/html",
        "application/problem+json",
        "*/*;q=0",
        "x" * 20_000,
        "junk",
        "a/b; c*=no-such''d",
    ],
)
def test_what_we_do_not_speak_is_not_acceptable_and_said_as_a_problem(owner, accept):
    response = owner("GET", "/clients/sheet", Accept=accept)

    assert "application/json, text/csv" in problem(response, 406, "not-acceptable")["detail"]


def test_an_unacceptable_post_changes_nothing(owner):
    response = owner("POST", "/suppliers", '{"name": "Felt"}', Accept="application/xml")

    problem(response, 406, "not-acceptable")
    assert not Supplier.objects.exists()


def test_the_parameter_format_counts_before_accept(owner):
    response = owner("GET", "/clients/sheet?format=csv", Accept="application/json")

    assert response["Content-Type"] == "text/csv; charset=utf-8"
    assert owner("GET", "/clients/sheet?format=json")["Content-Type"] == "application/json"
    problem(owner("GET", "/clients/sheet?format=xlsx"), 406, "not-acceptable")
    problem(owner("GET", "/suppliers?format=json"), 400, "invalid-query")


def test_a_sheet_has_a_header_row_and_rfc_4180_line_ends(owner):
    Client.objects.create(kind="person", name='Ada "A", of Ö')
    Client.objects.create(kind="person", name="Bo")

    response = owner("GET", "/clients/sheet?format=csv&limit=1")

    text = response.content.decode()
    assert text.endswith("\r\n")
    header, row = csv.reader(io.StringIO(text, newline=""))
    assert header == ["id", "kind", "name"]
    assert row[1:] == ["person", 'Ada "A", of Ö']
    assert response["Link"].endswith('rel="next"')


def test_a_sheet_without_rows_still_has_its_header(owner):
    assert owner("GET", "/clients/sheet?format=csv").content == b"id,kind,name\r\n"


def test_an_error_in_a_sheet_is_a_problem_document(owner):
    problem(owner("GET", "/clients/sheet?format=csv&limit=0"), 400, "invalid-query")


# The characters of OWASP's "CSV Injection"; plain numbers are harmless and stay numbers.
@pytest.mark.parametrize(
    ("value", "text"),
    [
        ("=1+1", "'=1+1"),
        ("+49 30", "'+49 30"),
        ("-cmd", "'-cmd"),
        ("@SUM(A1)", "'@SUM(A1)"),
        ("\tx", "'\tx"),
        ("\rx", "'\rx"),
        ("-5.00", "-5.00"),
        (-5, "-5"),
        ("+5", "+5"),
        ("-5+cmd", "'-5+cmd"),
        ("plain", "plain"),
        (None, ""),
        (True, "true"),
        ([1, "ä"], '[1, "ä"]'),
    ],
)
def test_no_cell_is_taken_for_a_formula(value, text):
    assert cell(value) == text


def test_json_has_one_form_whatever_is_asked_for(owner, felt):
    plain = owner("GET", f"/suppliers/{felt.pk}")

    indented = owner("GET", f"/suppliers/{felt.pk}", Accept="application/json; indent=4, */*")

    assert indented.content == plain.content
    assert json.loads(PlainJSONRenderer().render({"a": "ä"}, "application/json; indent=8")) == {
        "a": "ä"
    }
