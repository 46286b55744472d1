"""The description of the API (OpenAPI 3.1): kept, complete, and without two things of one name."""

import re
from collections import Counter
from pathlib import Path

import pytest
import yaml
from drf_spectacular.generators import SchemaGenerator
from drf_spectacular.renderers import OpenApiYamlRenderer

from tests.house.routes import api_routes

KEPT = Path(__file__).parent / "openapi.yaml"
COMMAND = "python manage.py spectacular --file tests/contracts/openapi.yaml"


@pytest.fixture(scope="module")
def described():
    return SchemaGenerator().get_schema(request=None, public=True)


def operations(document):
    return {
        (path, method.upper()): operation
        for path, item in document["paths"].items()
        for method, operation in item.items()
        if method != "parameters"
    }


def resolved(part, document):
    """Return what a part of the document refers to, or the part itself."""
    while "$ref" in part:
        kind, name = part["$ref"].split("/")[-2:]
        part = document["components"][kind][name]
    return part


def test_the_kept_description_is_the_one_that_the_code_gives(described):
    generated = OpenApiYamlRenderer().render(described, renderer_context={}).decode()

    assert generated.splitlines() == KEPT.read_text().splitlines(), (
        f"The API has changed. Look at the difference, and keep it if it is meant: {COMMAND}"
    )


def test_every_route_is_described_and_nothing_else(described):
    routed = {
        (f"/api/v1{route.template}", method) for route in api_routes() for method in route.actions
    }
    paths = {(re.sub(r"{id}", "{pk}", path), method) for path, method in operations(described)}

    assert paths == routed


def test_operations_have_names_of_their_own(described):
    names = Counter(operation["operationId"] for operation in operations(described).values())

    assert [name for name, times in names.items() if times > 1] == []


def serializers_of(view):
    inputs, outputs = ("create_input", "change_input", "takes", "query"), ("output", "gives")
    for name in (*inputs, *outputs, "costed_output", "stored_output"):
        if (serializer := getattr(view, name, None)) is not None:
            yield from nested(serializer)


def nested(serializer):
    yield serializer
    for field in serializer().fields.values():
        inner = getattr(field, "child", field)
        if hasattr(inner, "fields"):
            yield from nested(type(inner))


def test_no_two_serializers_share_a_name():
    found = {
        serializer
        for route in api_routes()
        for method in route.actions
        for serializer in serializers_of(route.view(method))
    }
    names = Counter(serializer.__name__ for serializer in found)

    assert len(found) > 80
    assert [name for name, times in names.items() if times > 1] == []


def test_every_operation_documents_its_problems(described):
    for (path, method), operation in operations(described).items():
        for status, response in operation["responses"].items():
            content = resolved(response, described).get("content", {})
            if status.startswith(("4", "5")):
                assert set(content) == {"application/problem+json"}, (path, method, status)
        # A route that names a row can miss it.
        expected = {"400", "401", "403", "406", "500", *({"404"} if "{" in path else ())}
        assert expected <= set(operation["responses"]), (path, method)


# Zalando's RESTful API guidelines, rules 129 (kebab-case paths), 118 (snake_case members) and
# 110 (an object at the top of every answer).
def test_names_have_one_style(described):
    for path in described["paths"]:
        literal = re.sub(r"{\w+}", "", path)
        assert re.fullmatch(r"(/([a-z0-9]+(-[a-z0-9]+)*)?)+", literal), path
    for name, component in described["components"]["schemas"].items():
        for member in component.get("properties", {}):
            assert re.fullmatch(r"[a-z][a-z0-9]*(_[a-z0-9]+)*", member), (name, member)


def test_every_json_answer_is_an_object(described):
    for key, operation in operations(described).items():
        for status, response in operation["responses"].items():
            content = response.get("content", {})
            if "application/json" in content:
                schema = resolved(content["application/json"]["schema"], described)
                assert schema["type"] == "object", (key, status)


def test_the_kept_description_is_openapi_3_1():
    assert yaml.safe_load(KEPT.read_text().partition("paths:")[0])["openapi"] == "3.1.1"
