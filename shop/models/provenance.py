"""Where a row of the shipped catalogue comes from."""

from typing import ClassVar

from django.db import models


class Provenance(models.TextChoices):
    """How far a shipped value can be trusted, or that the shop entered it."""

    PUBLISHED = "published", "Published"
    COMMON_PRACTICE = "common practice", "Common practice"
    FROM_MEMORY = "from memory", "From memory"
    ESTIMATE = "estimate", "Estimate"
    SHOP = "shop", "The shop's own"


class CatalogueRow(models.Model):
    """A row that ships with the project and that the shop may edit.

    `shipped_digest` is the digest of the row as it was last shipped: a row that still has it was
    not edited, so that a newer catalogue may replace it. Empty for a row of the shop's own.
    """

    code = models.SlugField(max_length=60, unique=True)
    name = models.CharField(max_length=200)
    provenance = models.CharField(
        max_length=20, choices=Provenance, default=Provenance.SHOP, blank=True
    )
    source = models.TextField(blank=True)
    shipped_digest = models.CharField(max_length=64, blank=True, editable=False)

    class Meta:
        abstract = True
        ordering: ClassVar = ["code"]
        constraints: ClassVar = [
            models.CheckConstraint(
                name="%(app_label)s_%(class)s_provenance_known",
                condition=models.Q(provenance__in=Provenance.values),
                violation_error_code="provenance-unknown",
                violation_error_message=f"Provenance is one of {', '.join(Provenance.values)}.",
            ),
        ]

    def __str__(self) -> str:
        return self.name
