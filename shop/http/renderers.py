"""How answers are written: JSON, and CSV for reports."""

import csv
import io
from collections.abc import Mapping, Sequence
from typing import Any

from rest_framework.renderers import BaseRenderer, JSONRenderer

from shop.http.cells import cell


class PlainJSONRenderer(JSONRenderer):
    """JSON in one form only, so that equal data have equal bytes and one entity tag."""

    def get_indent(
        self,
        accepted_media_type: str,  # noqa: ARG002 (REST framework passes it)
        renderer_context: Mapping[str, Any],  # noqa: ARG002
    ) -> None:
        """Return no indent, whatever the caller asks for."""
        return


class CSVRenderer(BaseRenderer):
    """Rows as text/csv (RFC 4180), for a view whose answer is a list or a page of rows."""

    media_type = "text/csv"
    format = "csv"
    charset = "utf-8"

    def render(
        self,
        data: Any,
        accepted_media_type: str | None = None,  # noqa: ARG002 (REST framework passes it)
        renderer_context: Mapping[str, Any] | None = None,
    ) -> str:
        """Return a header line and one line for each row of `data`, ended by CR LF."""
        rows: Sequence[Mapping[str, Any]] = data["items"] if isinstance(data, dict) else data
        columns = list((renderer_context or {})["view"].output_fields())
        text = io.StringIO(newline="")
        writer = csv.writer(text, lineterminator="\r\n")
        writer.writerow(columns)
        writer.writerows([cell(row.get(column)) for column in columns] for row in rows)
        return text.getvalue()
