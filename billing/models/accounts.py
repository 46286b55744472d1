"""The accounts that the journal for the accountant names."""

from typing import ClassVar

import pghistory
import pgtrigger
from django.db import models
from django.db.models import Q

from billing.models.payments import PaymentMethod
from billing.rules.journal import AccountRole
from shop.models.guards import Guard, no_truncate

ROLES = [(role.value, role.value.replace("_", " ")) for role in AccountRole]
KEPT = "The journal needs an account for each of its roles; rename it instead."


@pghistory.track(pghistory.UpdateEvent())
class LedgerAccount(models.Model):
    """The account of a role, under the code and name that the shop's accountant uses.

    Money has an account for each method of payment. Roles may share a code.
    """

    role = models.CharField(max_length=20, choices=ROLES)
    method = models.CharField(max_length=20, choices=PaymentMethod, blank=True)
    code = models.CharField(max_length=20)
    name = models.CharField(max_length=100)

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(
                name="billing_ledgeraccount_role_known",
                condition=Q(role=AccountRole.MONEY.value, method__in=PaymentMethod.values)
                | Q(
                    ~Q(role=AccountRole.MONEY.value),
                    role__in=[role.value for role in AccountRole],
                    method="",
                ),
                violation_error_code="role-unknown",
                violation_error_message="An account of money, and no other, is of a method.",
            ),
            models.CheckConstraint(
                name="billing_ledgeraccount_named",
                condition=~Q(code="") & ~Q(name=""),
                violation_error_code="name-missing",
                violation_error_message="An account has a code and a name.",
            ),
            models.UniqueConstraint(
                name="billing_ledgeraccount_one_of_role",
                fields=["role", "method"],
                violation_error_code="role-taken",
                violation_error_message="There is an account of this role already.",
            ),
        ]
        triggers: ClassVar = [
            Guard(
                name="billing_ledgeraccount_kept",
                code="account-kept",
                message=KEPT,
                operation=pgtrigger.Update | pgtrigger.Delete,
                refuse_when=(
                    "TG_OP = 'DELETE' OR (OLD.role, OLD.method) <> (NEW.role, NEW.method)"
                ),
            ),
            no_truncate("billing_ledgeraccount", KEPT),
        ]

    def __str__(self) -> str:
        return f"{self.code} {self.name}"
