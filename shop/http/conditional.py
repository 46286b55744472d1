"""Conditional requests (RFC 9110 section 13): entity tags, If-Match and If-None-Match."""

import hashlib
from typing import Any

from django.http import HttpResponse, HttpResponseNotModified
from django.utils.http import parse_etags
from rest_framework.request import Request

from shop.http.problems import RequestProblem
from shop.http.renderers import PlainJSONRenderer


def entity_tag(representation: Any) -> str:
    """Return the strong entity tag of a representation: of its bytes as JSON."""
    content = PlainJSONRenderer().render(representation, renderer_context={})
    return f'"{hashlib.sha256(content).hexdigest()[:32]}"'


def refuse_unless_matched(request: Request, tag: str) -> None:
    """Go on only when If-Match names `tag`, by strong comparison (section 13.1.1).

    Raises:
        RequestProblem: 428 there is no such header, 412 it names another.
    """
    header = request.headers.get("If-Match")
    if header is None:
        raise RequestProblem(
            "precondition-required",
            "Read it first, and send its ETag back in the header If-Match.",
        )
    tags = parse_etags(header)
    if tags != ["*"] and tag not in tags:
        raise RequestProblem(
            "precondition-failed", "It was changed since you read it; read it again."
        )


def unless_known(request: Request, response: HttpResponse) -> HttpResponse:
    """Return `response`, or 304 when If-None-Match names its tag (section 13.1.2, weak).

    Raises:
        RequestProblem: 412, If-Match names another; it is looked at first (section 13.2.2).
    """
    tag = response.get("ETag")
    if response.status_code != 200 or tag is None:
        return response
    if "If-Match" in request.headers:
        refuse_unless_matched(request, tag)
    known = parse_etags(request.headers.get("If-None-Match", ""))
    if known != ["*"] and tag not in (each.removeprefix("W/") for each in known):
        return response
    return HttpResponseNotModified(headers={"ETag": tag})
