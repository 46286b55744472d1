"""A client of the API that keeps every request and its answer."""

import json
from typing import Any

import httpx


class Caller:
    """One person's way to the API: sends JSON or CSV with their token and notes the exchange."""

    def __init__(
        self, name: str, token: str, base_url: str, exchange: list[dict[str, Any]]
    ) -> None:
        self.name = name
        self.exchange = exchange
        self.http = httpx.Client(
            base_url=f"{base_url}/api/v1/",
            headers={"Authorization": f"Bearer {token}"},
            timeout=30,
        )

    def get(self, path: str, **headers: str) -> Any:
        """Return the answer to a GET: JSON as values, anything else as text."""
        return self._send("GET", path, headers=headers)

    def post(self, path: str, body: Any = None, **headers: str) -> Any:
        """Return the answer to a POST of `body`, a mapping sent as JSON or a text sent as CSV."""
        if isinstance(body, str):
            headers["Content-Type"] = "text/csv"
            return self._send("POST", path, headers=headers, content=body.encode())
        return self._send("POST", path, headers=headers, json=body or {})

    def patch(self, path: str, body: dict[str, Any]) -> Any:
        """Return the answer to changing a resource as it was last seen."""
        etag = self.http.get(path).headers["ETag"]
        return self._send("PATCH", path, headers={"If-Match": etag}, json=body)

    def _send(self, method: str, path: str, **request: Any) -> Any:
        response = self.http.request(method, path, **request)
        is_json = "json" in response.headers.get("Content-Type", "")
        answer = response.json() if is_json else response.text
        sent = request.get("json", request.get("content", b""))
        self.exchange.append(
            {
                "who": self.name,
                "request": f"{method} /api/v1/{path}",
                "body": sent.decode() if isinstance(sent, bytes) else sent,
                "status": response.status_code,
                "answer": {"token": "(not written)"} if path.endswith("/token") else answer,
            }
        )
        if response.is_error:
            message = f"{method} {path} answered {response.status_code}: {json.dumps(answer)}"
            raise RuntimeError(message)
        return answer
