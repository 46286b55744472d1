"""The shop's logo: one row, or none."""

from typing import ClassVar

import pghistory
from django.db import models
from django.db.models import Q

from shop.rules.logos import MOST_BYTES, PNG, SVG


@models.BinaryField.register_lookup
class ByteCount(models.Transform):
    """How many bytes a column holds: `content__byte_count__lte=10`."""

    lookup_name = "byte_count"
    function = "octet_length"
    output_field = models.IntegerField()


@pghistory.track(
    pghistory.InsertEvent(),
    pghistory.UpdateEvent(),
    pghistory.DeleteEvent(),
    # Who changed it when is kept, and not every picture that it ever was.
    exclude=["content"],
)
class Logo(models.Model):
    """The picture that stands on the shop's documents, with id 1.

    `width` and `height` are in pixels, or the units in which an SVG is drawn.
    """

    id = models.PositiveSmallIntegerField(primary_key=True, default=1)
    media_type = models.CharField(max_length=20)
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    content = models.BinaryField()
    changed_at = models.DateTimeField()

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(
                name="shop_logo_only_one",
                condition=Q(id=1),
                violation_error_code="logo-exists",
                violation_error_message="There is one logo; replace it instead.",
            ),
            models.CheckConstraint(
                name="shop_logo_kind_known",
                condition=Q(media_type__in=[PNG, SVG]),
                violation_error_code="logo-unknown",
                violation_error_message="A logo is a PNG or an SVG.",
            ),
            models.CheckConstraint(
                name="shop_logo_small",
                condition=Q(content__byte_count__range=(1, MOST_BYTES)),
                violation_error_code="logo-too-large",
                violation_error_message="A logo has at most 200 000 bytes.",
            ),
            models.CheckConstraint(
                name="shop_logo_not_a_line",
                condition=Q(width__gt=0, height__gt=0),
                violation_error_code="logo-misshapen",
                violation_error_message="A logo has a width and a height.",
            ),
        ]

    def __str__(self) -> str:
        return f"logo, {self.media_type}"
