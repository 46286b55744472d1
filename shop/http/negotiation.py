"""Which media types an address speaks: RFC 9110 section 12.5.1, quality values included."""

from collections.abc import Iterable

from django.http.request import MediaType
from django.utils.http import parse_header_parameters
from rest_framework.negotiation import BaseContentNegotiation
from rest_framework.parsers import BaseParser
from rest_framework.renderers import BaseRenderer
from rest_framework.request import Request

from shop.http.problems import RequestProblem


class QualityNegotiation(BaseContentNegotiation):
    """Chooses by the parameter `format` when there is one, else by the header Accept."""

    def select_renderer(
        self,
        request: Request,
        renderers: Iterable[BaseRenderer],
        format_suffix: str | None = None,  # noqa: ARG002 (REST framework passes it)
    ) -> tuple[BaseRenderer, str]:
        """Return the renderer to answer with, and its media type.

        Raises:
            RequestProblem: 406, there is none that the caller accepts.
        """
        offered = {str(renderer.media_type): renderer for renderer in renderers}
        wanted = request.query_params.get("format")
        media_type: str | None
        if wanted is None:
            media_type = preferred_type(request.headers.get("Accept", "*/*"), list(offered))
        else:
            formats = {each.format: media_type for media_type, each in offered.items()}
            media_type = formats.get(wanted)
        if media_type is None:
            raise RequestProblem(
                "not-acceptable", f"This address answers with {', '.join(offered)}."
            )
        return offered[media_type], media_type

    def select_parser(self, request: Request, parsers: Iterable[BaseParser]) -> BaseParser:
        """Return the parser of the body's media type.

        Raises:
            RequestProblem: 415, there is none; its header Accept lists what there is.
        """
        sent = parse_header_parameters(request.content_type)[0].lower()
        for parser in parsers:
            if parser.media_type == sent:
                return parser
        taken = ", ".join(str(parser.media_type) for parser in parsers)
        header = "Accept-Patch" if request.method == "PATCH" else "Accept"
        raise RequestProblem(
            "unsupported-media-type",
            f"Content-Type is {sent or 'missing'}; this address takes {taken}.",
            (),
            {header: taken, "Accept": taken},
        )


def preferred_type(accept: str, offered: list[str]) -> str | None:
    """Return the media type that `accept` gives the greatest quality, the first of equals."""
    try:
        ranges = [MediaType(each) for each in accept.split(",") if each.strip()]
    except ValueError:  # a parameter in an encoding that there is not
        return None
    qualities = {each: _quality(MediaType(each), ranges) for each in offered}
    best = max(offered, key=lambda each: qualities[each])
    return best if qualities[best] > 0 else None


def _quality(offered: MediaType, ranges: list[MediaType]) -> float:
    """Return the quality of the most specific range that `offered` is in; 0 is "never"."""
    fitting = [each for each in ranges if offered.match(each)]  # type: ignore[arg-type]  # the stub knows text only
    return max(fitting, key=lambda each: each.specificity).quality if fitting else 0
