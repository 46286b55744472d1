"""What the description of the API promises, tried with bodies and parameters made from it.

To try harder: `EXAMPLES=200 python -m pytest tests/contracts/test_schema_conformance.py`.
"""

import os
from pathlib import Path

import hypothesis
import pytest
import schemathesis
from django.core.wsgi import get_wsgi_application
from schemathesis import checks
from schemathesis.config import GenerationConfig, ProjectConfig, ProjectsConfig, SchemathesisConfig

from tests.house.routes import ROWS, api_routes

EXAMPLES = int(os.environ.get("EXAMPLES", "10"))
FUZZING = {
    "phases": {
        "examples": {"enabled": False},
        "coverage": {"enabled": False},
    },
    "generation": {"max-examples": EXAMPLES, "deterministic": True, "database": "none"},
}
schema = schemathesis.openapi.from_path(
    Path(__file__).parent / "openapi.yaml", config=SchemathesisConfig.from_dict(FUZZING)
)
schema.app = get_wsgi_application()
ROUTES = {f"/api/v1{route.template}".replace("{pk}", "{id}"): route for route in api_routes()}
CHECKS = [
    checks.not_a_server_error,
]


@pytest.fixture
def world(db):
    """A row of every noun."""
    return {noun: make() for noun, make in ROWS.items() if make}


@schema.parametrize()
@hypothesis.settings(
    max_examples=EXAMPLES,
    deadline=None,
    derandomize=True,
    suppress_health_check=list(hypothesis.HealthCheck),
)
def test_every_answer_is_one_that_the_description_promises(case, owner, world):
    response = case.call(headers=owner.headers)
    print(case.method, case.path, case.path_parameters, case.body, response.status_code)
