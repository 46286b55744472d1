"""The shop's logo, on the way in and on the way to paper."""

import base64
import binascii
from typing import Any

from django.db.models import QuerySet
from django.utils import timezone
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers
from rest_framework.response import Response

from shop.actions.logos import logo_remove, logo_replace
from shop.errors import FieldError, InvalidInput
from shop.http.permissions import EVERYONE, OWNER, grants
from shop.http.records import Deleted, Retrieved
from shop.http.serializers import RowSerializer, StrictSerializer
from shop.models import Logo
from shop.pages.letterhead import can_be_set
from shop.rules.logos import MOST_BYTES, LogoError, Picture, picture_of


@extend_schema_field(OpenApiTypes.BYTE)
class ContentField(serializers.Field[bytes, str, str, Any]):
    """A file as text: base64 (RFC 4648, section 4)."""

    def to_internal_value(self, data: Any) -> bytes:
        """Return the bytes.

        Raises:
            ValidationError: it is no base64.
        """
        try:
            return base64.b64decode(data, validate=True)
        except (TypeError, ValueError, binascii.Error) as error:
            raise serializers.ValidationError("Send base64 (RFC 4648).", "not-base64") from error

    def to_representation(self, value: bytes) -> str:
        """Return it as text."""
        return base64.b64encode(value).decode()


class LogoInput(StrictSerializer):
    """A PNG or an SVG."""

    content = ContentField(
        help_text=f"Of at most {MOST_BYTES} bytes, in base64; an SVG of shapes (letters too: no"
        " font comes with it), without anything that runs, moves, or fetches something."
    )


class LogoOutput(RowSerializer):
    """The logo; its size is in pixels, or the units in which an SVG is drawn."""

    content = ContentField()

    class Meta:
        model = Logo
        fields = ("media_type", "width", "height", "changed_at", "content")


class LogoViewSet(Retrieved, Deleted):
    """The picture that stands on the shop's documents."""

    model = Logo
    roles = grants(read=EVERYONE, write=OWNER)
    takes = LogoInput
    output = LogoOutput
    may_be_absent = True

    def rows(self) -> QuerySet[Logo]:
        """Return the logo, if there is one."""
        return Logo.objects.all()

    def replace(self) -> Response:
        """Put up a logo; what replaces one names it in If-Match."""
        Logo.objects.select_for_update().filter(pk=1).values_list("pk").first()
        before = self.rows().first()
        content = self.checked()["content"]
        if before:
            self.refuse_unless_matched(before)
        picture = _picture(content)
        logo = logo_replace(content=content, picture=picture, replaced_at=timezone.now())
        return self.shown(logo, 200 if before else 201)

    def remove(self, row: Logo) -> None:
        """Take it down."""
        logo_remove(logo=row)


def _picture(content: bytes) -> Picture:
    """Return what is to be put up, once it was set on a trial sheet.

    Raises:
        InvalidInput: it is no logo, or cannot be set.
    """
    try:
        picture = picture_of(content)
    except LogoError as error:
        raise _wrong(error.code, str(error)) from error
    if not can_be_set(content, picture):
        raise _wrong("logo-broken", "The picture cannot be set on a document.")
    return picture


def _wrong(code: str, detail: str) -> InvalidInput:
    return InvalidInput("invalid-input", detail, (FieldError("/content", code, detail),))
