"""People who call the API: `owner`, `office`, `technician` and `nobody` are fixtures."""

import itertools
import json

import pytest
from django.test import Client as Browser
from knox.models import AuthToken

from shop.models import Role, User

numbers = itertools.count(1)


class Caller:
    """Sends requests as one person, JSON unless told otherwise; nobody without a user."""

    def __init__(self, user=None):
        self.user = user
        self.browser = Browser(raise_request_exception=False)
        self.headers = {}
        if user is not None:
            self.token, token = AuthToken.objects.create(user)
            self.headers["Authorization"] = f"Bearer {token}"

    def __call__(self, method, path, body=None, content_type="application/json", **headers):
        sent = {name.replace("_", "-"): value for name, value in headers.items()}
        address = path if path.startswith("http") else f"/api/v1{path}"
        options = {"headers": {**self.headers, **sent}}
        if body is not None:
            options |= {"data": body, "content_type": content_type}
        return self.browser.generic(method, address, **options)

    def get(self, path, **headers):
        return self("GET", path, **headers)

    def post(self, path, values=None, **headers):
        return self("POST", path, json.dumps(values or {}), **headers)


def caller_with(role):
    return Caller(User.objects.create(username=f"user{next(numbers)}", role=role))


@pytest.fixture
def owner(db):
    return caller_with(Role.OWNER)


@pytest.fixture
def office(db):
    return caller_with(Role.OFFICE)


@pytest.fixture
def technician(db):
    return caller_with(Role.TECHNICIAN)


@pytest.fixture
def nobody(db):
    return Caller()
