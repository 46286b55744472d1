"""People of the shop and the tokens they sign in with."""

from datetime import timedelta

from django.db import transaction
from knox.models import AuthToken

from shop.models import Role, User


@transaction.atomic
def user_create(*, username: str, role: Role, is_staff: bool = False) -> User:
    """Return a new person who signs in by token; the office can be let into the admin."""
    user = User(username=username, role=role, is_staff=is_staff)
    user.set_unusable_password()
    user.save(force_insert=True)
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
    return count
