import json

import pytest
from django.test import Client as Browser
from knox.models import AuthToken

from diagnostics.models import Finding
from tests.factories.diagnostics import (
    CauseFactory,
    ComponentFactory,
    ExaminationFactory,
    FaultFactory,
    RemedyFactory,
)
from tests.factories.shop import InstrumentFactory, UserFactory


class Caller:
    """Sends requests as one person: a text as a sheet, anything else as JSON."""

    def __init__(self, user=None):
        self.user = user
        self.browser = Browser(raise_request_exception=False)
        token = AuthToken.objects.create(user)[1] if user else ""
        self.headers = {"Authorization": f"Bearer {token}"} if user else {}

    def __call__(self, method, path, body=None, **headers):
        content_type = headers.pop("content_type", None)
        if content_type is None:
            content_type = "text/csv" if isinstance(body, str) else "application/json"
            body = body if isinstance(body, str) else json.dumps({} if body is None else body)
        sent = {name.replace("_", "-"): value for name, value in headers.items()}
        address = path if path.startswith("http") else f"/api/v1/{path}"
        options = {"data": body, "content_type": content_type} if method != "GET" else {}
        return self.browser.generic(method, address, headers={**self.headers, **sent}, **options)

    def get(self, path, status=200, **headers):
        return answered(self("GET", path, **headers), status)

    def post(self, path, body=None, status=201, **headers):
        return answered(self("POST", path, body, **headers), status)

    def change(self, path, body, status=200):
        tag = self("GET", path)["ETag"]
        return answered(self("PATCH", path, body, If_Match=tag), status)

    def remove(self, path, status=204):
        tag = self("GET", path)["ETag"]
        response = self("DELETE", path, If_Match=tag)
        assert response.status_code == status, response.content
        return response.json() if response.content else None


def answered(response, status):
    assert response.status_code == status, response.content.decode()
    return response.json()


def wrong(problem):
    """Return what is wrong in a problem document: each pointer, or parameter, with its code."""
    return [
        (each.get("pointer", each.get("parameter")), each["code"]) for each in problem["errors"]
    ]


def stored():
    """Return the note and fault of every finding."""
    return list(Finding.objects.order_by("id").values_list("note_midi", "fault__code"))


@pytest.fixture
def technician(db):
    return Caller(UserFactory())


@pytest.fixture
def office(db):
    return Caller(UserFactory(office=True))


@pytest.fixture
def owner(db):
    return Caller(UserFactory(owner=True))


@pytest.fixture
def nobody(db):
    return Caller()


@pytest.fixture
def upright_examined(db):
    """An examination of an upright with the usual 88 notes."""
    return ExaminationFactory()


@pytest.fixture
def grand_examined(db):
    return ExaminationFactory(instrument=InstrumentFactory(grand=True))


@pytest.fixture
def catalogue(db):
    """A little of an upright's troubles; no grand has bridle straps."""
    FaultFactory(code="slow-return")
    FaultFactory(code="strap-off", actions=["upright"])
    ComponentFactory(code="hammer-flange")
    ComponentFactory(code="bridle-strap", actions=["upright", "spinet"])
    RemedyFactory(code="repin")
    CauseFactory(code="tight-centre")


@pytest.fixture
def findings_path(upright_examined, catalogue):
    return f"examinations/{upright_examined.pk}/findings"
