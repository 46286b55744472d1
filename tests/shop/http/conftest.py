import pytest

from shop.errors import ProblemKind
from shop.http.problems import problem_kinds
from tests.callers import nobody, office, owner, technician

__all__ = ["nobody", "office", "owner", "technician"]

PROBE = ProblemKind("probe-refused", 409, "The probe refused", "Only the tests do this.")


@pytest.fixture(autouse=True)
def probe_api(settings):
    settings.ROOT_URLCONF = "tests.shop.http.urls"
    kinds = problem_kinds()
    kinds[PROBE.code] = PROBE
    yield
    del kinds[PROBE.code]
