"""Every status that the API answers with is a problem document: RFC 9457."""

import ast
import json
from pathlib import Path

import pytest
from django.conf import settings
from django.test import RequestFactory

from shop.errors import FieldError, InvalidInput, Refused
from shop.http.database_rules import database_rules
from shop.http.field_errors import field_errors, pointer_to
from shop.http.problems import problem_kind, problem_kinds, problem_response
from shop.models import Supplier
from tests.shop.http.answers import problem

DEEP = "[" * 100_000


def failing(how):
    return {"method": "POST", "path": "/clients/fail", "body": json.dumps({"how": how})}


# What RFC 9110 section 15, RFC 6585 and the draft on Idempotency-Key give each status for.
CASES = [
    (400, "malformed-json", {"method": "POST", "path": "/suppliers", "body": "{"}),
    (400, "malformed-json", {"method": "POST", "path": "/suppliers", "body": DEEP}),
    (400, "invalid-input", {"method": "POST", "path": "/suppliers", "body": "{}"}),
    (400, "invalid-query", {"method": "GET", "path": "/suppliers?colour=red"}),
    (400, "invalid-cursor", {"method": "GET", "path": "/suppliers?cursor=x"}),
    (404, "not-found", {"method": "GET", "path": "/suppliers/1"}),
    (404, "not-found", {"method": "GET", "path": "/no-such-noun"}),
    (404, "not-found", {"method": "GET", "path": "/suppliers/99999999999999999999"}),
    (405, "method-not-allowed", {"method": "PUT", "path": "/suppliers"}),
    (405, "method-not-allowed", {"method": "TRACE", "path": "/suppliers"}),
    (406, "not-acceptable", {"method": "GET", "path": "/suppliers", "Accept": "application/xml"}),
    (409, "probe-refused", {"method": "POST", "path": "/suppliers/1/refuse"}),
    (413, "body-too-large", {"method": "POST", "path": "/suppliers", "body": " " * 10_000_000}),
    (
        415,
        "unsupported-media-type",
        {"method": "POST", "path": "/suppliers", "body": "a", "content_type": "text/plain"},
    ),
    (429, "too-many-requests", failing("too many")),
    (500, "internal-error", failing("bug")),
    (500, "internal-error", failing("unregistered")),
    (500, "internal-error", failing("not null")),
    (500, "internal-error", failing("division")),
    (503, "database-busy", failing("deadlock")),
    (503, "database-busy", failing("lock timeout")),
    (503, "database-unavailable", failing("server gone")),
]


@pytest.mark.parametrize(("status", "code", "request_"), CASES)
def test_every_error_is_a_problem_document_whose_type_has_a_page(owner, status, code, request_):
    response = owner(**request_)

    document = problem(response, status, code)
    assert owner("GET", document["type"]).status_code == 200


def test_nobody_is_told_to_sign_in(nobody):
    response = nobody("GET", "/suppliers")

    problem(response, 401, "not-authenticated")
    assert response["WWW-Authenticate"] == "Bearer"  # RFC 9110 section 11.6.1


def test_a_wrong_role_is_forbidden(technician):
    problem(technician("POST", "/suppliers", '{"name": "Felt"}'), 403, "forbidden")


def test_a_fault_tells_nothing_of_how_the_program_is_made(owner):
    for how in ("bug", "not null", "division"):
        text = owner(**failing(how)).content.decode()
        assert not [word for word in ("SELECT", "shop_", "Traceback", "null value") if word in text]


def test_not_allowed_names_the_allowed_methods_as_options_does(owner):
    refused = owner("PUT", "/suppliers")

    assert refused["Allow"] == "GET, POST, HEAD, OPTIONS"  # RFC 9110 section 15.5.6
    assert owner("OPTIONS", "/suppliers")["Allow"] == refused["Allow"]


def test_an_unknown_media_type_is_told_which_are_taken(owner):
    response = owner("POST", "/clients/add", "a", "application/xml")

    assert response["Accept"] == "application/json, text/csv"  # RFC 9110 section 15.5.16
    patched = owner("PATCH", f"/suppliers/{Supplier.objects.create(name='x').pk}", "a", "text/csv")
    assert patched["Accept-Patch"] == "application/json"  # RFC 5789 section 2.2


@pytest.mark.parametrize("how", ["too many", "deadlock", "server gone"])
def test_what_may_be_tried_again_says_when(owner, how):
    assert int(owner(**failing(how))["Retry-After"]) >= 1  # RFC 9110 section 10.2.3


def test_a_foreign_host_is_refused_and_not_repeated(owner):
    response = owner("GET", "/suppliers", Host="elsewhere.example")

    document = response.json()
    assert (response.status_code, document["type"]) == (400, "/problems/bad-request")
    assert "elsewhere" not in response.content.decode()


def test_a_view_of_the_framework_answers_with_problems_too(nobody):
    schema = "http://testserver/api/schema"

    problem(nobody("GET", schema, Accept="image/png"), 406, "not-acceptable")
    problem(nobody("POST", schema), 405, "method-not-allowed")


def test_outside_the_api_a_browser_gets_a_page_and_a_program_a_problem(nobody):
    page = nobody("GET", "http://testserver/nothing", Accept="text/html,*/*;q=0.8")
    assert (page.status_code, page["Content-Type"]) == (404, "text/html; charset=utf-8")
    assert "There is nothing at this address." in page.content.decode()

    program = nobody("GET", "http://testserver/nothing", Accept="application/json")
    problem(program, 404, "not-found")
    failed = nobody("GET", "http://testserver/page-that-fails", Accept="text/html")
    assert (failed.status_code, failed["Content-Type"]) == (500, "text/html; charset=utf-8")


def test_outside_the_api_a_page_may_be_forbidden(nobody):
    page = nobody("GET", "http://testserver/page-for-others", Accept="text/html")

    assert (page.status_code, page["Content-Type"]) == (403, "text/html; charset=utf-8")


def test_raising_a_code_that_has_no_kind_is_a_mistake_of_the_program():
    with pytest.raises(LookupError, match=r"errors\.py"):
        problem_response(RequestFactory().get("/"), Refused("never-registered", "?"))


def test_the_members_are_those_of_the_standard():
    error = FieldError("/findings/3/note", "note-unknown", "There is no note X9.")
    response = problem_response(
        RequestFactory().get("/"), InvalidInput("invalid-input", "One is wrong.", (error,))
    )

    assert json.loads(response.content) == {
        "type": "http://testserver/problems/invalid-input",
        "title": "Invalid input",
        "status": 400,
        "detail": "One is wrong.",
        "errors": [
            {
                "pointer": "/findings/3/note",
                "code": "note-unknown",
                "detail": "There is no note X9.",
            }
        ],
    }


# The examples of RFC 6901 section 5.
@pytest.mark.parametrize(
    ("tokens", "pointer"),
    [((), ""), (("foo", 0), "/foo/0"), (("",), "/"), (("a/b",), "/a~1b"), (("m~n",), "/m~0n")],
)
def test_pointers_are_escaped(tokens, pointer):
    assert pointer_to(*tokens) == pointer


def test_errors_of_nested_serializers_are_found_wherever_they_are():
    errors = {
        "name": ["Short."],
        "lines": [{}, {"part": ["No."], "non_field_errors": ["Odd."]}],
        "tags": {2: ["Long."]},
        "non_field_errors": ["Both or none."],
    }

    assert [error.pointer for error in field_errors(errors)] == [
        "/name",
        "/lines/1/part",
        "/lines/1",
        "/tags/2",
        "",
    ]


def test_every_rule_of_the_schema_has_a_kind_that_answers_409():
    rules = database_rules().values()
    assert rules
    for rule in rules:
        assert problem_kind(rule.code).status == 409, rule
        assert rule.sentence.endswith("."), rule


def raised_codes():
    """Yield the file, class and code of each ShopError that the three apps raise."""
    for app in ("shop", "diagnostics", "billing"):
        for file in Path(settings.BASE_DIR, app).rglob("*.py"):
            for node in ast.walk(ast.parse(file.read_text())):
                name = getattr(getattr(node, "func", None), "id", "")
                if name in {"InvalidInput", "Refused", "RequestProblem", "KeyRefused"}:
                    first = node.args[0]
                    if isinstance(first, ast.Constant):
                        yield file.name, name, first.value


def test_every_code_that_is_raised_has_a_kind_of_the_fitting_status():
    expected = {"InvalidInput": 400, "Refused": 409}
    wrong = [
        (file, name, code)
        for file, name, code in raised_codes()
        if code not in problem_kinds()
        or problem_kinds()[code].status != expected.get(name, problem_kinds()[code].status)
    ]
    assert wrong == []
