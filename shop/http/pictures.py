"""Answers that are drawn: a picture as SVG, or text for a terminal."""

from collections.abc import Callable, Mapping
from typing import Any

from rest_framework import serializers
from rest_framework.renderers import BaseRenderer
from rest_framework.request import Request
from rest_framework.response import Response

from shop.http.conditional import entity_tag
from shop.http.serializers import StrictSerializer
from shop.http.views import ShopViewSet

# A picture that is opened by itself runs and fetches nothing, whatever it may hold.
SEALED = "default-src 'none'; style-src 'unsafe-inline'; sandbox"


class SVGRenderer(BaseRenderer):
    """A picture, put together by the view."""

    media_type = "image/svg+xml"
    format = "svg"
    charset = "utf-8"

    def render(
        self,
        data: Any,
        accepted_media_type: str | None = None,  # noqa: ARG002 (REST framework passes it)
        renderer_context: Mapping[str, Any] | None = None,  # noqa: ARG002
    ) -> str:
        """Return the picture as it is."""
        return str(data)


class TextRenderer(SVGRenderer):
    """The same as text."""

    media_type = "text/plain"
    format = "text"


class PictureQuery(StrictSerializer):
    """How text is set; a picture is of any size."""

    width = serializers.IntegerField(
        default=100, min_value=40, max_value=400, help_text="Of text: how many columns it may take."
    )
    colour = serializers.BooleanField(
        default=False, help_text="Of text: whether a terminal's colours are added."
    )


def wants_text(request: Request) -> bool:
    """Return whether the caller prefers text to whatever else is offered."""
    return bool(request.accepted_renderer.format == TextRenderer.format)


class Drawn(ShopViewSet):
    """Base of views that have a `picture`."""

    def drawn(self, svg: Callable[[], str], text: Callable[..., str]) -> Response:
        """Return what one of the two draws, as the caller prefers it, with its entity tag.

        `text` takes `width`, in columns, and whether it is in `colour`.
        """
        asked = self.checked_query()
        is_text = wants_text(self.request)
        written = text(width=asked["width"], colour=asked["colour"]) if is_text else svg()
        headers = {"ETag": entity_tag(written), "Content-Security-Policy": SEALED}
        return Response(written, headers=headers)
