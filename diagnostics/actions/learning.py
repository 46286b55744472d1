"""Starting over with what the shop's own cases taught."""

from datetime import datetime

from django.db import transaction

from diagnostics.models import LearningReset
from shop.models import User


@transaction.atomic
def learning_reset(*, reason: str, reset_at: datetime, reset_by: User) -> LearningReset:
    """Let the shop's cases until `reset_at` no longer move the catalogue's figures."""
    return LearningReset.objects.create(reset_at=reset_at, reset_by=reset_by, reason=reason)
