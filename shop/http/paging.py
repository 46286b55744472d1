"""Pages of a list, by keyset: the next page starts after the last row of this one.

A page never costs more for being deep, and rows that are added meanwhile neither repeat nor hide
those that were there.
"""

from typing import Any

from django.core import signing
from django.db.models import QuerySet
from django.utils.http import urlencode
from rest_framework.pagination import BasePagination
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from shop.errors import ParameterError
from shop.http.field_errors import summary
from shop.http.keysets import OrderTerm, after, order_terms, values_of
from shop.http.problems import RequestProblem

DEFAULT_LIMIT, MAX_LIMIT = 50, 200


class KeysetPagination(BasePagination):
    """Answers `{"items": [...], "next": URL}` and a Link header (RFC 8288) to the same URL.

    The last page has neither. `next` holds the whole query, so it is followed as it stands.
    """

    parameters = ("limit", "cursor")

    def paginate_queryset(
        self,
        queryset: QuerySet[Any, Any],  # type: ignore[override]
        request: Request,
        view: APIView | None = None,  # noqa: ARG002 (REST framework passes it)
    ) -> list[Any]:
        """Return the rows of the page that `request` asks for, in the ordering of `queryset`.

        Raises:
            RequestProblem: the limit is not 1 to 200, or the cursor is not one of this list.
        """
        limit = _limit(request)
        terms = order_terms(queryset)
        cursor = request.query_params.get("cursor")
        if cursor is not None:
            queryset = queryset.filter(after(terms, _position(request, cursor, terms)))
        ordered = queryset.order_by(*(term.signed_name for term in terms))
        rows = list(ordered[: limit + 1])
        self.next_url = _next_url(request, rows[limit - 1], terms) if len(rows) > limit else None
        return rows[:limit]

    def get_paginated_response(self, data: Any) -> Response:
        """Return the page of `data`, its rendered rows."""
        if self.next_url is None:
            return Response({"items": data})
        link = f'<{self.next_url}>; rel="next"'
        return Response({"items": data, "next": self.next_url}, headers={"Link": link})

    def get_paginated_response_schema(self, schema: dict[str, Any]) -> dict[str, Any]:
        """Return the schema of a page whose rows have `schema`."""
        next_schema = {
            "type": "string",
            "format": "uri",
            "description": "Where the next page is; absent on the last one.",
        }
        return {
            "type": "object",
            "required": ["items"],
            "properties": {"items": schema, "next": next_schema},
        }

    def get_schema_operation_parameters(self, view: APIView) -> list[dict[str, Any]]:  # noqa: ARG002
        """Return the descriptions of `limit` and `cursor`."""
        limit = {"type": "integer", "minimum": 1, "maximum": MAX_LIMIT, "default": DEFAULT_LIMIT}
        return [
            {"name": "limit", "in": "query", "schema": limit, "description": "Rows on a page."},
            {
                "name": "cursor",
                "in": "query",
                "schema": {"type": "string"},
                "description": "Where the page starts; it stands in the `next` of the page before.",
            },
        ]


def _limit(request: Request) -> int:
    text = request.query_params.get("limit", str(DEFAULT_LIMIT))
    if text.isascii() and text.isdigit() and len(text) < 4 and 1 <= int(text) <= MAX_LIMIT:
        return int(text)
    errors = (ParameterError("limit", "out-of-range", f"Ask for 1 to {MAX_LIMIT} rows."),)
    raise RequestProblem("invalid-query", summary(errors), errors)


def _salt(request: Request) -> str:
    return f"cursor of {request.path.rstrip('/')}"


def _position(request: Request, cursor: str, terms: list[OrderTerm]) -> list[Any]:
    """Return the values that the row before the page is ordered by."""
    try:
        order, values = signing.loads(cursor, salt=_salt(request))
    except signing.BadSignature:
        raise RequestProblem(
            "invalid-cursor", "The cursor is not one of this list; follow `next` as it stands."
        ) from None
    if order != [term.signed_name for term in terms]:
        raise RequestProblem(
            "invalid-cursor", f"The cursor belongs to the order {', '.join(order)}; start again."
        )
    return list(values)


def _next_url(request: Request, row: Any, terms: list[OrderTerm]) -> str:
    position = [[term.signed_name for term in terms], values_of(row, terms)]
    query = request.query_params.dict() | {"cursor": signing.dumps(position, salt=_salt(request))}
    return request.build_absolute_uri(f"{request.path}?{urlencode(query)}")
