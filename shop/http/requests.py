"""A request whose body is read once and never beyond its bound."""

import io

from django.http import HttpRequest
from rest_framework.request import Request

from shop.http.problems import RequestProblem


class BoundedRequest(Request):
    """A request of which at most `body_limit_bytes` are read; more is a problem (413)."""

    def __init__(self, request: HttpRequest, *, body_limit_bytes: int, **options: object) -> None:
        super().__init__(request, **options)  # type: ignore[arg-type]
        self.body_limit_bytes = body_limit_bytes
        self._bounded_body: bytes | None = None

    @property
    def body(self) -> bytes:
        """Return the body as it was sent.

        Raises:
            RequestProblem: it is larger than the bound (nothing of it is read then), its length is
                not stated, or it ended early.
        """
        if self._bounded_body is None:
            self._bounded_body = self._read_bounded()
        return self._bounded_body

    def _read_bounded(self) -> bytes:
        if "HTTP_TRANSFER_ENCODING" in self.META and not self.META.get("CONTENT_LENGTH"):
            raise RequestProblem("length-required", "Send the header Content-Length.")
        stated = self.META.get("CONTENT_LENGTH") or "0"
        if not stated.isdecimal() or int(stated) > self.body_limit_bytes:
            raise RequestProblem(
                "body-too-large", f"The body is larger than {self.body_limit_bytes} bytes."
            )
        body = self._request.read(int(stated))
        if len(body) < int(stated):
            raise RequestProblem("bad-request", f"The body ended after {len(body)} bytes.")
        return body

    @property
    def stream(self) -> io.BytesIO | None:
        """Return the body to be parsed, None when it is empty."""
        return io.BytesIO(self.body) if self.body else None
