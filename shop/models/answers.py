"""The first answer to each request that carried an Idempotency-Key, to be given again."""

from typing import ClassVar

from django.conf import settings
from django.db import models
from django.db.models import Q


class FirstAnswer(models.Model):
    """What one person's request with a key was answered, stored together with its effect.

    While the request is being worked on, its transaction alone sees the row, without a status.
    `request_digest` is the SHA-256 of what was sent, so that the key is good for nothing else.
    """

    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="+")
    method = models.CharField(max_length=10)
    path = models.CharField(max_length=500)
    key = models.CharField(max_length=255)
    request_digest = models.CharField(max_length=64)
    status = models.PositiveSmallIntegerField(null=True)
    headers = models.JSONField(default=dict)
    body = models.BinaryField(default=b"")
    created_at = models.DateTimeField()

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(
                name="shop_firstanswer_one_per_key",
                fields=["user", "method", "path", "key"],
                violation_error_code="idempotency-key-in-use",
                violation_error_message="This Idempotency-Key was used for this address before.",
            ),
            models.CheckConstraint(
                name="shop_firstanswer_status_kept",
                condition=Q(status__isnull=True) | Q(status__range=(200, 499)),
                violation_error_code="status-not-kept",
                violation_error_message="Only answers from 200 to 499 are kept to be given again.",
            ),
        ]
        indexes: ClassVar = [
            models.Index(fields=["created_at"], name="shop_firstanswer_by_time"),
        ]

    def __str__(self) -> str:
        return f"{self.method} {self.path}: {self.status}"
