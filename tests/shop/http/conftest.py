import itertools

import pytest
from django.test import Client as Browser
from knox.models import AuthToken

from shop.errors import ProblemKind
from shop.http.problems import problem_kinds
from shop.models import Role, User

numbers = itertools.count(1)
PROBE = ProblemKind("probe-refused", 409, "The probe refused", "Only the tests do this.")


@pytest.fixture(autouse=True)
def probe_api(settings):
    settings.ROOT_URLCONF = "tests.shop.http.urls"
    kinds = problem_kinds()
    kinds[PROBE.code] = PROBE
    yield
    del kinds[PROBE.code]


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
