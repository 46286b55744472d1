"""The description of the API says what its views do: OpenAPI 3.1."""

import pytest
from drf_spectacular.drainage import GENERATOR_STATS
from drf_spectacular.generators import SchemaGenerator
from drf_spectacular.validation import validate_schema

from shop.http.problems import problem_kinds


@pytest.fixture
def schema():
    return SchemaGenerator(urlconf="tests.shop.http.urls").get_schema(request=None, public=True)


def operation(schema, method, path):
    return schema["paths"][f"/api/v1{path}"][method]


def parameters(schema, method, path):
    return {each["name"]: each for each in operation(schema, method, path).get("parameters", [])}


def statuses(schema, method, path):
    return {int(status) for status in operation(schema, method, path)["responses"]}


def test_it_is_valid_and_was_made_without_a_guess(schema):
    GENERATOR_STATS.reset()
    schema = SchemaGenerator(urlconf="tests.shop.http.urls").get_schema(request=None, public=True)

    validate_schema(schema)
    assert schema["openapi"] == "3.1.1"
    assert not GENERATOR_STATS


def test_paths_are_shown_without_a_slash_at_the_end(schema):
    assert "/api/v1/suppliers" in schema["paths"]
    assert "/api/v1/suppliers/{id}/wait" in schema["paths"]
    assert not [path for path in schema["paths"] if path.endswith("/")]


def test_every_operation_refers_to_one_problem_for_each_status_that_it_has(schema):
    for path, operations in schema["paths"].items():
        for method, described in operations.items():
            problems = {
                code: each for code, each in described["responses"].items() if code >= "400"
            }
            assert {"400", "406", "500", "503"} <= set(problems), (method, path)
            for code, each in problems.items():
                assert each == {"$ref": f"#/components/responses/Problem{code}"}
    for response in schema["components"]["responses"].values():
        assert response["content"] == {
            "application/problem+json": {"schema": {"$ref": "#/components/schemas/Problem"}}
        }


@pytest.mark.parametrize(
    ("method", "path", "expected"),
    [
        ("get", "/suppliers", {200, 400, 401, 403, 406, 500, 503}),
        ("get", "/suppliers/{id}", {200, 304, 400, 401, 403, 404, 406, 500, 503}),
        ("post", "/suppliers", {201, 400, 401, 403, 406, 409, 411, 413, 415, 422, 500, 503}),
        (
            "patch",
            "/suppliers/{id}",
            {200, 400, 401, 403, 404, 406, 409, 411, 412, 413, 415, 428, 500, 503},
        ),
        ("delete", "/suppliers/{id}", {204, 400, 401, 403, 404, 406, 409, 412, 428, 500, 503}),
        (
            "post",
            "/suppliers/{id}/wait",
            {200, 400, 401, 403, 404, 406, 409, 411, 413, 415, 422, 500, 503},
        ),
        ("post", "/clients/add", {201, 400, 401, 403, 406, 409, 411, 413, 415, 422, 500, 503}),
    ],
)
def test_an_operation_has_the_statuses_that_can_come(schema, method, path, expected):
    assert statuses(schema, method, path) == expected


def test_the_statuses_described_are_those_of_the_kinds(schema):
    described = {int(name.removeprefix("Problem")) for name in schema["components"]["responses"]}

    assert described <= {kind.status for kind in problem_kinds().values()}


def test_headers_of_the_shared_machinery_are_described(schema):
    assert "Idempotency-Key" in parameters(schema, "post", "/suppliers")
    assert parameters(schema, "patch", "/suppliers/{id}")["If-Match"]["required"]
    assert parameters(schema, "delete", "/suppliers/{id}")["If-Match"]["required"]
    assert "If-None-Match" in parameters(schema, "get", "/suppliers/{id}")
    made = operation(schema, "post", "/suppliers")["responses"]["201"]["headers"]
    assert set(made) == {"ETag", "Location"}
    page = operation(schema, "get", "/suppliers")["responses"]["200"]
    assert set(page["headers"]) == {"Link"}


def test_a_page_is_described_with_its_parameters(schema):
    page = schema["components"]["schemas"]["PaginatedProbeSupplierOutputList"]

    assert page["required"] == ["items"]
    assert set(page["properties"]) == {"items", "next"}
    found = parameters(schema, "get", "/suppliers")
    assert set(found) == {"limit", "cursor", "name", "lead_time_days", "order"}
    assert found["limit"]["schema"]["maximum"] == 200


def test_a_list_or_a_sheet_is_described_where_it_is_taken(schema):
    body = operation(schema, "post", "/clients/add")["requestBody"]["content"]

    row = {"$ref": "#/components/schemas/ProbeClientInputRequest"}
    assert body["application/json"]["schema"] == {"oneOf": [row, {"type": "array", "items": row}]}
    assert "kind, name, tags" in body["text/csv"]["schema"]["description"]


def test_a_report_is_described_as_a_sheet_too_and_with_its_parameters(schema):
    content = operation(schema, "get", "/clients/sheet")["responses"]["200"]["content"]

    assert content["text/csv"]["schema"] == {"type": "string"}
    assert parameters(schema, "get", "/clients/sheet")["format"]["schema"]["enum"] == [
        "csv",
        "json",
    ]
    assert parameters(schema, "get", "/clients/echo")["least"]["schema"]["minimum"] == 0


def test_signing_in_is_described(schema):
    assert schema["components"]["securitySchemes"] == {
        "token": {"type": "http", "scheme": "bearer"}
    }
    assert operation(schema, "get", "/suppliers")["security"] == [{"token": []}]
