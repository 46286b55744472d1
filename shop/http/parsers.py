"""How bodies are read: strict JSON (RFC 8259 with the limits of RFC 7493, I-JSON)."""

import json
from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import IO, Any

from django.utils.http import parse_header_parameters
from rest_framework.parsers import BaseParser

from shop.errors import FieldError
from shop.http.field_errors import invalid_input, pointer_to
from shop.http.problems import RequestProblem

MAX_DEPTH = 32
BIGGEST = 2**63 - 1  # of a bigint column


def text_of(body: bytes, media_type: str | None, code: str) -> str:
    """Return `body` as text; it must be UTF-8, with or without a byte order mark.

    Raises:
        RequestProblem: `code`; it is in another encoding, or its media type says so.
    """
    charset = parse_header_parameters(media_type or "")[1].get("charset", "utf-8")
    if charset.lower() not in {"utf-8", "utf8", "us-ascii"}:
        raise RequestProblem(code, f"The body must be UTF-8; Content-Type says {charset}.")
    try:
        return body.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = body.count(b"\n", 0, error.start) + 1
        raise RequestProblem(
            code, f"The body is not UTF-8: line {line} holds the byte 0x{body[error.start]:02X}."
        ) from error


class StrictJSONParser(BaseParser):
    """Reads one JSON object; a view that `takes_list` gets a list of them too.

    Duplicate members, NaN, unpaired surrogates, NUL characters, integers beyond 64 bits and
    nesting deeper than 32 are refused. Numbers with a fraction arrive as Decimal.
    """

    media_type = "application/json"

    def parse(
        self,
        stream: IO[Any],
        media_type: str | None = None,
        parser_context: Mapping[str, Any] | None = None,
    ) -> Any:
        """Return what the body says.

        Raises:
            RequestProblem: `malformed-json`.
            InvalidInput: a value that no field can hold, with a pointer to each.
        """
        document = _parsed(text_of(stream.read(), media_type, "malformed-json"))
        errors = tuple(_impossible(document, (), 1))
        if errors:
            raise invalid_input(errors)
        takes_list = getattr((parser_context or {}).get("view"), "takes_list", False)
        if not isinstance(document, dict | list if takes_list else dict):
            kinds = "an object or a list of objects" if takes_list else "an object"
            raise invalid_input((FieldError("", "not-an-object", f"Send {kinds}."),))
        return document


def _parsed(text: str) -> Any:
    try:
        return json.loads(
            text,
            object_pairs_hook=_object,
            parse_constant=_not_a_number,
            parse_float=Decimal,
        )
    except json.JSONDecodeError as error:
        where = f"line {error.lineno}, column {error.colno}"
        raise RequestProblem("malformed-json", f"{error.msg} at {where}.") from error
    except RecursionError as error:
        raise _too_deep() from error
    except ValueError as error:  # an integer of thousands of digits
        raise RequestProblem("malformed-json", "A number has too many digits.") from error


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    members = dict(pairs)
    if len(members) < len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise RequestProblem("malformed-json", f"The member {twice!r} stands twice in one object.")
    return members


def _not_a_number(name: str) -> None:
    raise RequestProblem("malformed-json", f"{name} is not a JSON number.")


def _too_deep() -> RequestProblem:
    return RequestProblem("malformed-json", f"The body is nested deeper than {MAX_DEPTH}.")


def _impossible(value: Any, path: tuple[str | int, ...], depth: int) -> Iterator[FieldError]:
    """Yield an error for each value that no field can hold."""
    if depth > MAX_DEPTH:
        raise _too_deep()
    if isinstance(value, dict):
        for name, member in value.items():
            yield from _impossible_text(name, path)
            yield from _impossible(member, (*path, name), depth + 1)
    elif isinstance(value, list):
        for index, item in enumerate(value):
            yield from _impossible(item, (*path, index), depth + 1)
    elif isinstance(value, str):
        yield from _impossible_text(value, path)
    elif isinstance(value, int) and abs(value) > BIGGEST:
        yield FieldError(pointer_to(*path), "number-too-large", "The number is too large.")


def _impossible_text(text: str, path: tuple[str | int, ...]) -> Iterator[FieldError]:
    if "\0" in text:
        yield FieldError(
            pointer_to(*path), "character-not-allowed", "Text cannot hold a NUL character."
        )
    if not text.isascii() and any("\ud800" <= character <= "\udfff" for character in text):
        yield FieldError(
            pointer_to(*path), "character-not-allowed", "Half of a surrogate pair is no character."
        )
