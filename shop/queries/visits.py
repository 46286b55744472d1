"""Visits: everybody sees who is where, and a technician changes their own alone."""

from django.db.models import QuerySet

from shop.models import Role, User, Visit


def visits() -> QuerySet[Visit]:
    """Return the visits as they follow one another."""
    return Visit.objects.order_by("starts_at", "id")


def may_plan_for(*, user: User, technician_id: int) -> bool:
    """Return whether `user` may plan and change the visits of a technician."""
    return user.role != Role.TECHNICIAN or user.pk == technician_id
