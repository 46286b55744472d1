"""When a technician goes where."""

from typing import ClassVar

import pghistory
from django.conf import settings
from django.contrib.postgres.constraints import ExclusionConstraint
from django.db import models
from django.db.models import F, Q

from shop.models.clients import Site
from shop.models.guards import Guard, status_edges
from shop.models.ranges import overlapping, same


class VisitStatus(models.TextChoices):
    """Whether a visit is still to come."""

    PLANNED = "planned", "Planned"
    DONE = "done", "Done"
    CANCELLED = "cancelled", "Cancelled"


VISIT_EDGES = {VisitStatus.PLANNED: [VisitStatus.DONE, VisitStatus.CANCELLED]}


@pghistory.track(pghistory.InsertEvent(), pghistory.UpdateEvent(), pghistory.DeleteEvent())
class Visit(models.Model):
    """One technician at one site from `starts_at` until before `ends_at`."""

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="visits")
    technician = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="visits"
    )
    starts_at = models.DateTimeField()
    ends_at = models.DateTimeField()
    purpose = models.CharField(max_length=200, blank=True)
    status = models.CharField(max_length=20, choices=VisitStatus, default=VisitStatus.PLANNED)

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(
                name="shop_visit_ends_after_start",
                condition=Q(starts_at__lt=F("ends_at")),
                violation_error_code="visit-ends-before-start",
                violation_error_message="A visit ends after it starts.",
            ),
            models.CheckConstraint(
                name="shop_visit_status_known",
                condition=Q(status__in=VisitStatus.values),
                violation_error_code="status-unknown",
                violation_error_message="A visit is planned, done or cancelled.",
            ),
            ExclusionConstraint(
                name="shop_visit_technician_free",
                expressions=[same("technician"), overlapping("starts_at", "ends_at", "tstzrange")],
                condition=~Q(status=VisitStatus.CANCELLED),
                violation_error_code="technician-booked",
                violation_error_message="The technician has another visit at this time.",
            ),
        ]
        indexes: ClassVar = [models.Index(fields=["starts_at", "id"], name="shop_visit_by_start")]
        triggers: ClassVar[list[Guard]] = status_edges(
            "shop_visit", VISIT_EDGES, VisitStatus.PLANNED
        )

    def __str__(self) -> str:
        return f"visit of {self.starts_at:%Y-%m-%d %H:%M}"
