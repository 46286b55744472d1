"""Answers that are files: documents to keep, print or hand on."""

import hashlib
from collections.abc import Mapping
from typing import Any

from rest_framework.renderers import BaseRenderer
from rest_framework.response import Response


class FileRenderer(BaseRenderer):
    """Bytes that the view has put together."""

    charset = None
    render_style = "binary"

    def render(
        self,
        data: Any,
        accepted_media_type: str | None = None,  # noqa: ARG002 (REST framework passes it)
        renderer_context: Mapping[str, Any] | None = None,  # noqa: ARG002
    ) -> bytes:
        """Return the file as it is; an answer without a body has none."""
        return bytes(data or b"")


class XMLRenderer(FileRenderer):
    """An XML file; it says itself in which encoding."""

    media_type = "application/xml"
    format = "xml"


class PDFRenderer(FileRenderer):
    """A PDF file."""

    media_type = "application/pdf"
    format = "pdf"


def file_response(content: bytes, name: str) -> Response:
    """Return a file under the name that it is kept by, with the entity tag of its bytes."""
    headers = {
        "ETag": f'"{hashlib.sha256(content).hexdigest()[:32]}"',
        "Content-Disposition": f'inline; filename="{name}"',
    }
    return Response(content, headers=headers)
