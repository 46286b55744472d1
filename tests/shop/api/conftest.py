import json

import pytest

from tests.callers import Caller
from tests.factories.shop import UserFactory


class Asker(Caller):
    """Sends values as JSON and returns those of the answer, whose status it asserts."""

    def __call__(self, method, path, body=None, **headers):
        address = path if path.startswith("http") else f"/{path}"
        sent = None if body is None else json.dumps(body)
        return super().__call__(method, address, sent, **headers)

    def get(self, path, status=200):
        return answered(self("GET", path), status)

    def post(self, path, body=None, status=201):
        return answered(self("POST", path, body or {}), status)

    def change(self, path, body, status=200):
        return answered(self("PATCH", path, body, If_Match=self("GET", path)["ETag"]), status)

    def remove(self, path, status=204):
        return answered(self("DELETE", path, If_Match=self("GET", path)["ETag"]), status)


def answered(response, status):
    assert response.status_code == status, response.content.decode()
    return response.json() if response.content else None


def wrong(problem):
    """Return what is wrong by a problem document: each pointer, or parameter, with its code."""
    return [
        (each.get("pointer", each.get("parameter")), each["code"]) for each in problem["errors"]
    ]


def code_of(problem):
    """Return the code of a problem document (RFC 9457): the last step of its type."""
    return problem["type"].rpartition("/")[2]


@pytest.fixture
def technician(db):
    return Asker(UserFactory())


@pytest.fixture
def office(db):
    return Asker(UserFactory(office=True))


@pytest.fixture
def owner(db):
    return Asker(UserFactory(owner=True))


@pytest.fixture
def nobody(db):
    return Asker()
