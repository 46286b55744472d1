"""People who sign in, and the one role each has."""

from typing import ClassVar

from django.contrib.auth.models import AbstractUser
from django.db import models


class Role(models.TextChoices):
    """What a person does in the shop, and so what they may see and change."""

    TECHNICIAN = "technician", "Technician"
    OFFICE = "office", "Office"
    OWNER = "owner", "Owner"


class User(AbstractUser):
    """A person of the shop."""

    role = models.CharField(max_length=20, choices=Role, default=Role.TECHNICIAN)

    class Meta(AbstractUser.Meta):
        constraints: ClassVar = [
            models.CheckConstraint(
                name="shop_user_role_known",
                condition=models.Q(role__in=Role.values),
                violation_error_code="role-unknown",
                violation_error_message="The role must be technician, office or owner.",
            ),
        ]
