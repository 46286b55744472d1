"""People of the shop and the tokens they sign in with."""

from collections.abc import Mapping
from datetime import timedelta
from typing import Any

from django.db import transaction
from knox.models import AuthToken

from shop.actions.records import record_change
from shop.errors import Refused
from shop.models import Role, ShopProfile, User


@transaction.atomic
def user_create(*, username: str, role: Role, is_staff: bool = False) -> User:
    """Return a new person who signs in by token; the office can be let into the admin."""
    user = User(username=username, role=role, is_staff=is_staff)
    user.set_unusable_password()
    user.save(force_insert=True)
    return user


@transaction.atomic
def user_change(*, user: User, changes: Mapping[str, Any]) -> User:
    """Change what a person may do and return them.

    Raises:
        Refused: nobody who may sign in would be an owner.
    """
    ShopProfile.objects.select_for_update().get()  # so that two owners don't leave at once
    record_change(record=user, changes=changes)
    if not User.objects.filter(role=Role.OWNER, is_active=True).exists():
        raise Refused("last-owner", "This is the last owner; make somebody else owner first.")
    return user


@transaction.atomic
def token_issue(*, user: User, lasts: timedelta) -> str:
    """Return a new token of `user` in clear: it is kept as a digest and cannot be shown again."""
    _, token = AuthToken.objects.create(user=user, expiry=lasts)
    return str(token)


@transaction.atomic
def tokens_revoke(*, user: User) -> int:
    """End every token of `user` at once and return how many there were."""
    count, _ = AuthToken.objects.filter(user=user).delete()
    return int(count)
