"""What the description of the API promises, tried with parameters and bodies made from it.

To try harder: `EXAMPLES=200 python -m pytest tests/contracts/test_schema_conformance.py`.
"""

import os
from pathlib import Path

import pytest
import requests
import schemathesis
from hypothesis import HealthCheck, settings
from schemathesis.checks import not_a_server_error
from schemathesis.config import SchemathesisConfig
from schemathesis.core import NotSet
from schemathesis.core.parameters import ParameterLocation
from schemathesis.specs.openapi import checks

from tests.house.routes import ROWS, api_routes

EXAMPLES = int(os.environ.get("EXAMPLES", "8"))
CONFIGURATION = {
    "phases": {"examples": {"enabled": False}, "coverage": {"enabled": False}},
    "generation": {"with-security-parameters": False},
}
CHECKS = [
    not_a_server_error,
    checks.content_type_conformance,
    checks.response_headers_conformance,
    checks.response_schema_conformance,
    checks.status_code_conformance,
    checks.negative_data_rejection,
]
schema = schemathesis.openapi.from_path(
    Path(__file__).parent / "openapi.yaml",
    config=SchemathesisConfig.from_dict(CONFIGURATION),
)
ROUTES = {f"/api/v1{route.template}".replace("{pk}", "{id}"): route for route in api_routes()}
# What the members of a body that name another row are, so that some bodies get all the way.
REFERENCES = {
    "cause": "cause",
    "check": "check",
    "client": "client",
    "component": "component",
    "fault": "fault",
    "finding": "finding",
    "from_place": "place",
    "instrument": "instrument",
    "part": "part",
    "place": "place",
    "remedy": "remedy",
    "site": "site",
    "supplier": "supplier",
    "tax_category": "tax-category",
    "technician": "user",
    "to_place": "place",
}


@pytest.fixture
def world(db):
    """A row of every noun."""
    return {noun: make() for noun, make in ROWS.items() if make}


def filled(value, world):
    """Return a generated value whose references are to rows that there are."""
    if isinstance(value, list):
        return [filled(each, world) for each in value]
    if not isinstance(value, dict):
        return value
    return {name: reference(name, each, world) for name, each in value.items()}


def reference(name, value, world):
    if name in REFERENCES and isinstance(value, int) and not isinstance(value, bool):
        return world[REFERENCES[name]].pk
    if name in REFERENCES and isinstance(value, str):
        return getattr(world[REFERENCES[name]], "code", value)
    return filled(value, world)


def sent(case, caller):
    """Send a generated request through the caller and return its answer."""
    described = case.as_transport_kwargs(base_url="http://testserver", headers=caller.headers)
    request = requests.Request(**{k: v for k, v in described.items() if k != "timeout"}).prepare()
    body = request.body.encode() if isinstance(request.body, str) else request.body
    headers = {name: value for name, value in request.headers.items() if name != "Content-Type"}
    answer = caller.browser.generic(
        request.method,
        request.url,
        data=body or b"",
        content_type=request.headers.get("Content-Type", "application/json"),
        headers=headers,
    )
    return schemathesis.Response(
        status_code=answer.status_code,
        headers={name.lower(): [value] for name, value in answer.headers.items()},
        content=answer.content,
        request=request,
        elapsed=0,
        verify=True,
    )


def check_problem(response):
    """Check an error against RFC 9457 section 3.1."""
    assert response.headers["content-type"] == ["application/problem+json"]
    document = response.json()
    assert document["status"] == response.status_code
    assert "/problems/" in document["type"]
    assert document["title"]
    assert document["detail"]


@schema.parametrize()
@settings(
    max_examples=EXAMPLES,
    derandomize=True,
    database=None,
    suppress_health_check=list(HealthCheck),
)
def test_every_answer_is_one_that_the_description_promises(case, owner, world):
    if not case.meta.is_negative_at(ParameterLocation.PATH):
        row = world.get(ROUTES[case.path].noun)
        values = {name: getattr(row, name, None) for name in case.path_parameters}
        case.path_parameters = {name: str(value) for name, value in values.items()}
    if not case.meta.is_negative_at(ParameterLocation.HEADER) and "If-Match" in case.headers:
        case.headers["If-Match"] = "*"
    if not case.meta.is_negative_at(ParameterLocation.BODY):
        case.body = filled(case.body, world)

    response = sent(case, owner)

    # An empty parameter is no parameter, and a change without a body changes nothing.
    is_lenient = "" in (case.query or {}).values() or isinstance(case.body, NotSet)
    case.validate_response(response, checks=CHECKS[:-1] if is_lenient else CHECKS)
    if response.status_code >= 400:
        check_problem(response)
