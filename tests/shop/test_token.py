from datetime import timedelta
from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.utils import timezone
from knox.models import AuthToken

from shop.actions.users import token_issue
from shop.models import Role
from shop.queries.users import has_owners_token
from tests.factories.shop import UserFactory


def token(*arguments):
    said = StringIO()
    call_command("token", *arguments, stdout=said)
    return said.getvalue().strip()


def test_a_new_token_lets_its_person_in(db, client):
    UserFactory(username="owner", role=Role.OWNER)
    scheme = token("owner").removeprefix("Authorization: ")
    assert client.get("/api/v1/users", headers={"Authorization": scheme}).status_code == 200


def test_nobody_gets_a_token_who_may_not_sign_in(db):
    UserFactory(username="left", is_active=False)
    with pytest.raises(CommandError, match="There is no left who may sign in"):
        token("left")
    UserFactory(username="here")
    with pytest.raises(CommandError, match="at least one day"):
        token("here", "--days", "0")
    assert not AuthToken.objects.exists()


@pytest.mark.parametrize(
    ("person", "days", "has_one"),
    [
        ({"role": Role.OWNER}, 1, True),
        ({"role": Role.OWNER}, -1, False),
        ({"role": Role.OWNER, "is_active": False}, 1, False),
        ({"role": Role.OFFICE}, 1, False),
    ],
)
def test_an_owners_token_counts_while_it_lasts(db, person, days, has_one):
    token_issue(user=UserFactory(**person), lasts=timedelta(days=days))
    assert has_owners_token(now=timezone.now()) is has_one
