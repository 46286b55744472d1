"""The people of the shop."""

from django.db.models import QuerySet

from shop.models import User


def users() -> QuerySet[User]:
    """Return the people, those who left among them."""
    return User.objects.order_by("id")


def users_active() -> QuerySet[User]:
    """Return the people who may sign in."""
    return users().filter(is_active=True)
