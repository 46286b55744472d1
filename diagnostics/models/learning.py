"""From when on the shop's own cases move the catalogue's estimates."""

from typing import ClassVar

from django.conf import settings
from django.db import models

from shop.models.guards import append_only


class LearningReset(models.Model):
    """The owner's word that what the shop learnt until then no longer counts.

    The cases themselves stay as bench work; only those done since the newest reset are counted.
    """

    reset_at = models.DateTimeField()
    reset_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    reason = models.TextField(blank=True)

    class Meta:
        triggers: ClassVar = append_only("diagnostics_learningreset", "Resets of what was learnt")

    def __str__(self) -> str:
        return f"reset of {self.reset_at:%Y-%m-%d}"
