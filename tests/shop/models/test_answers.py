import pytest

from tests.factories.shop import FirstAnswerFactory, UserFactory
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    "other",
    [
        {"user": "another"},
        {"method": "DELETE"},
        {"path": "/api/v1/sites"},
        {"key": "another"},
    ],
    ids=lambda other: next(iter(other)),
)
def test_a_key_is_good_for_one_request_of_one_person_to_one_address(other):
    if "user" in other:
        other = {"user": UserFactory()}
    first = FirstAnswerFactory()
    same = {name: getattr(first, name) for name in ("user", "method", "path", "key")}
    with refused("shop_firstanswer_one_per_key"):
        FirstAnswerFactory(**same)
    with accepted():
        FirstAnswerFactory(**same | other)


@pytest.mark.parametrize(("wrong", "right"), [(199, 200), (500, 499), (0, None)])
def test_only_answers_that_hold_are_kept(wrong, right):
    with refused("shop_firstanswer_status_kept"):
        FirstAnswerFactory(status=wrong)
    with accepted():
        FirstAnswerFactory(status=right)
