"""Who can sign in."""

from datetime import datetime

from django.db.models import Q
from knox.models import AuthToken

from shop.models import Role


def has_owners_token(*, now: datetime) -> bool:
    """Return whether an owner has a token with which they can still sign in at `now`."""
    lasting = Q(expiry__isnull=True) | Q(expiry__gt=now)
    owners = Q(user__role=Role.OWNER, user__is_active=True)
    return bool(AuthToken.objects.filter(lasting, owners).exists())
