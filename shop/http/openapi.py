"""How the API is described (OpenAPI 3.1): from what its views say of themselves."""

import re
from typing import Any, Final

from django.conf import settings
from drf_spectacular.extensions import OpenApiAuthenticationExtension
from drf_spectacular.openapi import AutoSchema
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiExample, OpenApiParameter, OpenApiResponse

from shop.http.csv_parsers import CSVParser
from shop.http.described_problems import describe_problems
from shop.http.pictures import TextRenderer
from shop.http.renderers import PlainJSONRenderer
from shop.http.views import ShopViewSet

__all__ = ["ShopSchema", "TokenScheme", "close_inputs", "describe_problems", "paths_without_slash"]

GENERIC = {
    "list": "List {noun}",
    "create": "Add one of {noun}",
    "retrieve": "Show one of {noun}",
    "partial_update": "Change one of {noun}",
    "destroy": "Remove one of {noun}",
}
HEADER: Final = "header"
ABSENT = OpenApiResponse(description="There is none.")
UNCHANGED = OpenApiResponse(description="It is what If-None-Match names; there is no body.")


class TokenScheme(OpenApiAuthenticationExtension):  # type: ignore[no-untyped-call]
    """A bearer token (RFC 6750)."""

    target_class = "shop.http.authentication.TokenAuthentication"
    name = "token"

    def get_security_definition(self, auto_schema: Any) -> dict[str, str]:  # noqa: ARG002
        """Return the security scheme."""
        return {"type": "http", "scheme": "bearer"}


class ShopSchema(AutoSchema):
    """Describes an operation of a `ShopViewSet` by its serializers, and its headers."""

    def get_request_serializer(self) -> Any:
        """Return what the body is, by media type when a list or a sheet may be sent."""
        if not isinstance(self.view, ShopViewSet):
            return super().get_request_serializer()
        taken = self.view.input_class()
        if not self.view.takes_list:
            return taken
        row = self.resolve_serializer(taken, "request").ref
        bodies: dict[str, Any] = {
            "application/json": {"oneOf": [row, {"type": "array", "items": row}]}
        }
        for parser in self.view.get_parsers():
            if isinstance(parser, CSVParser):
                text = parser.described(taken)
                bodies[parser.media_type] = {"type": "string", "description": text}
                if self.view.sheet_example:
                    bodies[parser.media_type]["examples"] = [self.view.sheet_example]
        return bodies

    def get_response_serializers(self) -> Any:
        """Return what the answer is, by status."""
        view = self.view
        if not isinstance(view, ShopViewSet):
            return super().get_response_serializers()
        return self._answers(view) | ({404: ABSENT} if view.may_be_absent else {})

    def _answers(self, view: ShopViewSet) -> dict[Any, Any]:
        if self.method == "DELETE" or view.gives_status == 204:
            return {204: None}
        if view.draws:
            return {200: OpenApiTypes.STR, 304: UNCHANGED}
        if view.is_file:
            return {200: OpenApiTypes.BINARY, 304: UNCHANGED}
        given = view.output_class()
        if view.pages:
            return {200: given(many=True)}
        if TextRenderer in view.renderer_classes:
            written = {(200, TextRenderer.media_type): OpenApiTypes.STR}
            return {(200, PlainJSONRenderer.media_type): given, **written, 304: UNCHANGED}
        if self.method == "GET":
            return {200: given, 304: UNCHANGED}
        if self.method == "PUT":
            return {200: given, 201: given}
        return {201 if view.action == "create" else view.gives_status: given}

    def get_examples(self) -> list[OpenApiExample]:
        """Return the example of an answer that the view gives, of a picture its text."""
        view = self.view
        if not isinstance(view, ShopViewSet) or view.example is None:
            return []
        media_type = TextRenderer.media_type if view.draws else PlainJSONRenderer.media_type
        return [
            OpenApiExample(
                "Example", value=view.example, response_only=True, media_type=str(media_type)
            )
        ]

    def get_override_parameters(self) -> list[Any]:
        """Return the parameters and headers that the shared machinery takes and gives."""
        if not isinstance(self.view, ShopViewSet):
            return super().get_override_parameters()
        parameters = [self.view.query] if self.view.query else []
        return [*parameters, *self._request_headers(), *self._response_headers()]

    def get_summary(self) -> str | None:
        """Return a few words that name the operation."""
        action = str(getattr(self.view, "action", ""))
        noun = " ".join(self._tokenize_path()[-1:]).replace("-", " ")
        text = GENERIC.get(action, action.replace("_", " ").capitalize())
        return text.format(noun=noun) or None

    def get_description(self) -> str:  # type: ignore[override]  # as its base
        """Return the docstring of the method, of the view when the method is a ready one."""
        if getattr(self.view, "action", None) in GENERIC:
            return str(self.view.__doc__ or "")
        return str(super().get_description())

    def _request_headers(self) -> list[OpenApiParameter]:
        headers = []
        if self.method == "POST" and getattr(self.view, "keeps_answer", True):
            text = (
                "1 to 255 visible characters, best a new UUID. The same request with the same key"
                f" gets the first answer again, for at least {settings.IDEMPOTENCY_HOURS} hours."
            )
            headers.append(OpenApiParameter("Idempotency-Key", str, HEADER, description=text))
        if getattr(self.view, "action", "") in {"partial_update", "destroy"}:
            text = "The ETag of what you read."
            headers.append(
                OpenApiParameter("If-Match", str, HEADER, required=True, description=text)
            )
        if self.method == "PUT":
            text = "The ETag of what is replaced, unless there is none yet."
            headers.append(OpenApiParameter("If-Match", str, HEADER, description=text))
        if self.method == "GET" and not getattr(self.view, "pages", False):
            text = "An ETag that you have; it is answered with 304 when it is still the same."
            headers.append(OpenApiParameter("If-None-Match", str, HEADER, description=text))
        return headers

    def _response_headers(self) -> list[OpenApiParameter]:
        found = {
            "ETag": ([200, 201], "The strong entity tag of this answer."),
            "Location": ([201], "Where the new row is."),
        }
        if getattr(self.view, "pages", False):
            found = {"Link": ([200], 'The next page, rel="next" (RFC 8288).')}
        return [
            OpenApiParameter(name, str, HEADER, response=statuses, description=text)
            for name, (statuses, text) in found.items()
            if self.method != "DELETE"
        ]


def paths_without_slash(endpoints: list[tuple[str, str, str, Any]]) -> list[Any]:
    """Return the endpoints with the optional slash at their ends left out."""
    return [
        (path.rstrip("/"), re.sub(r"/\?\$$", "$", pattern), method, view)
        for path, pattern, method, view in endpoints
    ]


def close_inputs(result: dict[str, Any], **kwargs: Any) -> dict[str, Any]:  # noqa: ARG001
    """Return the description with its inputs closed: a member that is not listed is refused."""
    for name, schema in result["components"]["schemas"].items():
        if name.endswith("Request") and schema.get("type") == "object":
            schema["additionalProperties"] = False
    return result
