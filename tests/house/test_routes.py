"""Every route refuses what it does not take in the same shape: RFC 9110, RFC 9457."""

import re
from urllib.parse import quote

import pytest

from tests.house.routes import METHODS, api_routes, made_for

ROUTES = api_routes()
every_route = pytest.mark.parametrize("route", ROUTES, ids=lambda route: route.name)
with_a_row = pytest.mark.parametrize(
    "route", [route for route in ROUTES if route.names_a_row], ids=lambda route: route.name
)
with_a_body = pytest.mark.parametrize(
    "route", [route for route in ROUTES if route.methods_with_a_body], ids=lambda route: route.name
)
readable = pytest.mark.parametrize(
    "route", [route for route in ROUTES if "GET" in route.actions], ids=lambda route: route.name
)


def code_of(response):
    """Return the status and code of a problem document, checked against RFC 9457 section 3.1."""
    kind = response["Content-Type"]
    assert kind == "application/problem+json", (response.status_code, kind, response.content)
    document = response.json()
    assert document["status"] == response.status_code
    assert document["type"].startswith("http://testserver/problems/")
    assert document["title"]
    assert document["detail"]
    return response.status_code, document["type"].rpartition("/")[2]


def body_for(method):
    return b"{}" if method in {"POST", "PUT", "PATCH"} else None


@every_route
def test_nobody_gets_anywhere_without_a_token(nobody, route):
    path = route.path_of(made_for(route))
    for method in (*METHODS, "OPTIONS"):
        response = nobody(method, path, body_for(method))
        assert code_of(response) == (401, "not-authenticated"), method
        # RFC 9110 section 15.5.2 and RFC 6750 section 3.
        assert response["WWW-Authenticate"].startswith("Bearer")


@every_route
def test_a_method_that_a_route_does_not_take_is_refused_with_those_it_does(owner, route):
    path = route.path_of(made_for(route))
    options = owner("OPTIONS", path)
    allowed = set(options["Allow"].split(", "))
    assert options.status_code == 204
    assert allowed == {*route.actions, "OPTIONS", *({"HEAD"} if "GET" in route.actions else ())}
    for method in set(METHODS) - set(route.actions):
        response = owner(method, path, body_for(method))
        assert code_of(response) == (405, "method-not-allowed"), method
        assert set(response["Allow"].split(", ")) == allowed  # RFC 9110 section 15.5.6


@with_a_row
def test_a_row_that_there_is_not_is_not_found(owner, route):
    path = re.sub(r"{\w+}", "987654321", route.template)
    for method in route.actions:
        response = owner(method, path, body_for(method), If_Match="*")
        assert code_of(response) == (404, "not-found"), method


@every_route
def test_what_we_do_not_speak_is_not_acceptable(owner, route):
    path = route.path_of(made_for(route))
    for method in route.actions:
        response = owner(method, path, body_for(method), Accept="application/x-tar", If_Match="*")
        assert code_of(response) == (406, "not-acceptable"), method


@every_route
def test_a_parameter_that_there_is_not_is_named(owner, route):
    path = route.path_of(made_for(route))
    for method in route.actions:
        response = owner(method, f"{path}?no_such=1", body_for(method), If_Match="*")
        assert code_of(response) == (400, "invalid-query"), method
        assert [each["parameter"] for each in response.json()["errors"]] == ["no_such"]


@with_a_body
def test_a_wrong_query_is_said_before_the_body_is_read(owner, route):
    path = route.path_of(made_for(route))
    for method in route.methods_with_a_body:
        for body, kind in [(b"{", "application/json"), (b"<a/>", "application/xml")]:
            response = owner(method, f"{path}?no_such=1", body, content_type=kind, If_Match="*")
            assert code_of(response) == (400, "invalid-query"), method


@with_a_body
def test_a_body_in_another_media_type_is_refused_with_those_that_are_taken(owner, route):
    path = route.path_of(made_for(route))
    for method in route.methods_with_a_body:
        response = owner(method, path, b"<a/>", content_type="image/svg+xml", If_Match="*")
        assert code_of(response) == (415, "unsupported-media-type"), method
        assert "application/json" in response["Accept"]  # RFC 9110 section 15.5.16
        assert method != "PATCH" or response["Accept-Patch"] == response["Accept"]  # RFC 5789


# RFC 8259 with the limits of RFC 7493 (I-JSON), and our own on size and depth.
BAD_BODIES = {
    "malformed": (b'{"name": ', 400, "malformed-json"),
    "not UTF-8": (b'{"name": "\xff"}', 400, "malformed-json"),
    "NaN": (b'{"name": NaN}', 400, "malformed-json"),
    "a member twice": (b'{"name": 1, "name": 2}', 400, "malformed-json"),
    "100 000 deep": (b"[" * 100_000 + b"]" * 100_000, 400, "malformed-json"),
    "33 deep": (b'{"name": ' + b"[" * 33 + b"]" * 33 + b"}", 400, "malformed-json"),
    "a text": (b'"name"', 400, "invalid-input"),
    "a NUL character": (b'{"name": "\\u0000"}', 400, "invalid-input"),
    "half a surrogate pair": (b'{"name": "\\ud800"}', 400, "invalid-input"),
    "a number too large": (b'{"name": 9223372036854775808}', 400, "invalid-input"),
    "an unknown member": (b'{"no-such": 1}', 400, "invalid-input"),
    "10 MB": (b'{"name": "%s"}' % (b"x" * 10_000_000), 413, "body-too-large"),
}


@with_a_body
def test_a_body_that_nobody_can_mean_is_refused(owner, route):
    path = route.path_of(made_for(route))
    for method in route.methods_with_a_body:
        answers = {
            name: code_of(owner(method, path, body, If_Match="*"))
            for name, (body, _, _) in BAD_BODIES.items()
        }
        expected = {name: (status, code) for name, (_, status, code) in BAD_BODIES.items()}
        assert answers == expected, method


@with_a_body
def test_an_unknown_member_is_named(owner, route):
    path = route.path_of(made_for(route))
    for method in route.methods_with_a_body:
        response = owner(method, path, b'{"no-such": 1}', If_Match="*")
        named = [each["code"] for each in response.json()["errors"] if "no-such" in each["pointer"]]
        assert named == ["unknown-member"], method


@with_a_body
def test_a_slash_at_the_end_loses_no_body(owner, route):
    path = route.path_of(made_for(route))
    for method in route.methods_with_a_body:
        response = owner(method, f"{path}/", b'{"name": ', If_Match="*")
        assert code_of(response) == (400, "malformed-json"), method


@readable
def test_a_read_is_the_same_with_a_slash_at_the_end_and_as_head_without_a_body(owner, route):
    path = route.path_of(made_for(route))
    read, with_slash, head = owner.get(path), owner.get(f"{path}/"), owner("HEAD", path)
    assert read.status_code == with_slash.status_code == head.status_code == 200
    assert with_slash.content == read.content
    assert head.content == b""
    for header in ("Content-Type", "Content-Length", "Cache-Control", "ETag", "Allow", "Vary"):
        assert head.get(header) == read.get(header)  # RFC 9110 section 9.3.2


@pytest.mark.parametrize(
    "path",
    ["/api/", "/api/v1", "/api/v1/", "/api/v1/nothing", "/api/v1//clients", "/api/v2/clients"],
)
def test_a_path_that_no_route_serves_is_not_found(owner, path):
    for method in METHODS:
        response = owner(method, f"http://testserver{path}", body_for(method))
        assert code_of(response) == (404, "not-found"), method


def test_routes_have_names_of_their_own():
    names = [route.name for route in ROUTES]
    assert len(names) == len(set(names))


# ISO 8601 lets an offset be up to 23:59; PostgreSQL takes less than 16 hours.
@pytest.mark.parametrize("instant", ["0403-08-04T17:45:37-20:05", "9998-01-01T00:00:00+23:59"])
def test_any_offset_is_an_instant_to_filter_by(owner, instant):
    for side in ("after", "before"):
        response = owner.get(f"/visits?starts_at_{side}={quote(instant)}")
        assert response.status_code == 200


@pytest.mark.parametrize("instant", ["0001-01-01T00:00:00+01:00", "9999-12-31T23:59:59-01:00"])
def test_an_instant_outside_the_calendar_is_a_wrong_parameter(owner, instant):
    response = owner.get(f"/visits?starts_at_after={quote(instant)}")
    assert code_of(response) == (400, "invalid-query")


@pytest.mark.parametrize(("value", "status"), [("true", 200), ("false", 200), ("1", 400)])
def test_a_yes_or_no_is_true_or_false_and_nothing_else(owner, value, status):
    for path in ("/parts?is_active", "/places?is_active", "/users?is_active", "/levels?is_held"):
        assert owner.get(f"{path}={value}").status_code == status, path
    assert owner.get(f"/invoices?is_due={value}").status_code == status
