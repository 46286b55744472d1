"""The problems that each operation of the API can answer with, in its description."""

from typing import Any

from shop.http.problem_kinds import PROBLEMS
from shop.http.problems import PROBLEM_JSON

METHODS = {"get", "post", "patch", "put", "delete"}
POINTED = {"pointer": "JSON Pointer (RFC 6901) into the body", "parameter": "Name in the query"}

PROBLEM_SCHEMA: dict[str, Any] = {
    "type": "object",
    "description": "A problem (RFC 9457).",
    "required": ["type", "title", "status", "detail"],
    "properties": {
        "type": {"type": "string", "format": "uri", "description": "Its kind, and its page."},
        "title": {"type": "string", "description": "The kind in a few words, always the same."},
        "status": {"type": "integer", "description": "The HTTP status."},
        "detail": {"type": "string", "description": "What was wrong and what to do about it."},
        "errors": {
            "type": "array",
            "description": "Each wrong value: where, a stable code, and a sentence.",
            "items": {
                "type": "object",
                "required": ["code", "detail"],
                "properties": {
                    **{
                        name: {"type": "string", "description": text}
                        for name, text in POINTED.items()
                    },
                    "code": {"type": "string"},
                    "detail": {"type": "string"},
                },
            },
        },
    },
}


def describe_problems(result: dict[str, Any], **kwargs: Any) -> dict[str, Any]:  # noqa: ARG001
    """Return the description with every problem that each operation can answer with."""
    components = result.setdefault("components", {})
    components.setdefault("schemas", {})["Problem"] = PROBLEM_SCHEMA
    used: set[int] = set()
    for path, operations in result.get("paths", {}).items():
        for method, operation in operations.items():
            if method in METHODS:
                statuses = _statuses(path, method, operation)
                used |= statuses
                operation["responses"] |= {str(each): _reference(each) for each in sorted(statuses)}
                _describe_sheets(operation)
    components["responses"] = {f"Problem{status}": _response(status) for status in sorted(used)}
    return result


def _statuses(path: str, method: str, operation: dict[str, Any]) -> set[int]:
    statuses = {400, 406, 500, 503}
    headers = {each["name"] for each in operation.get("parameters", []) if each["in"] == "header"}
    if any(operation.get("security", [])):
        statuses |= {401, 403}
    if "{" in path or "404" in operation["responses"]:
        statuses.add(404)
    # What is reported of a row is computed, so that too can be refused.
    if method != "get" or ("{" in path and not path.endswith("}")):
        statuses.add(409)
    if method in {"post", "patch", "put"}:
        statuses |= {411, 413, 415}
    if "If-Match" in headers:
        statuses |= {412, 428}
    if "Idempotency-Key" in headers:
        statuses.add(422)
    return statuses


def _reference(status: int) -> dict[str, str]:
    return {"$ref": f"#/components/responses/Problem{status}"}


def _response(status: int) -> dict[str, Any]:
    titles = [kind.title for kind in PROBLEMS if kind.status == status]
    schema = {"$ref": "#/components/schemas/Problem"}
    headers = {401: "WWW-Authenticate", 405: "Allow", 415: "Accept", 503: "Retry-After"}
    response: dict[str, Any] = {
        "description": f"{'; '.join(titles)}.",
        "content": {PROBLEM_JSON: {"schema": schema}},
    }
    if status in headers:
        response["headers"] = {headers[status]: {"schema": {"type": "string"}}}
    return response


def _describe_sheets(operation: dict[str, Any]) -> None:
    for response in operation["responses"].values():
        if "text/csv" in response.get("content", {}):
            response["content"]["text/csv"]["schema"] = {"type": "string"}
