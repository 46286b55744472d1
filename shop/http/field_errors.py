"""Where in the body a value is wrong: serializer errors as JSON Pointers (RFC 6901)."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from shop.errors import FieldError, InvalidInput, ParameterError

WHOLE = ("non_field_errors", "__all__")


def pointer_to(*tokens: str | int) -> str:
    """Return the JSON Pointer that follows `tokens` down from the body."""
    return "".join(f"/{str(token).replace('~', '~0').replace('/', '~1')}" for token in tokens)


def field_errors(detail: Any, pointer: str = "") -> Iterator[FieldError]:
    """Yield one error for each message in `detail`, the errors of a serializer, from the top."""
    if isinstance(detail, dict):
        for name, inner in detail.items():
            yield from field_errors(inner, pointer if name in WHOLE else pointer + pointer_to(name))
    elif isinstance(detail, list):
        for index, inner in enumerate(detail):
            # A list holds the messages of one value, or the errors of each row.
            is_row = isinstance(inner, dict | list)
            yield from field_errors(inner, pointer + pointer_to(index) if is_row else pointer)
    else:
        code = str(getattr(detail, "code", None) or "invalid").replace("_", "-")
        yield FieldError(pointer, code, str(detail))


def parameter_errors(detail: Any) -> Iterator[ParameterError]:
    """Yield one error for each message in `detail`, the errors of a serializer of parameters."""
    for error in field_errors(detail):
        yield ParameterError(error.pointer[1:].partition("/")[0], error.code, error.detail)


def invalid_input(errors: tuple[FieldError, ...]) -> InvalidInput:
    """Return the problem of a body whose values have `errors`."""
    return InvalidInput("invalid-input", summary(errors), errors)


def summary(errors: tuple[FieldError | ParameterError, ...]) -> str:
    """Return the one error in words, or how many there are."""
    if len(errors) != 1:
        return f"{len(errors)} values cannot be accepted; `errors` names each of them."
    (error,) = errors
    where = error.pointer if isinstance(error, FieldError) else error.parameter
    return f"{where}: {error.detail}" if where else error.detail


def as_sent(
    error: FieldError | ParameterError, *, lines: list[int], is_single: bool
) -> FieldError | ParameterError:
    """Return `error`, which counts rows, in the terms of the body that was sent.

    `lines` are the lines of a CSV body's rows, named in the sentence; `is_single` says that one
    object was sent where a list could have been, so that there is no row to name.
    """
    if isinstance(error, ParameterError) or not error.pointer:
        return error
    row, _, rest = error.pointer[1:].partition("/")
    if is_single and row == "0":
        return replace(error, pointer=f"/{rest}" if rest else "")
    if row.isdigit() and int(row) < len(lines):
        return replace(error, detail=f"Line {lines[int(row)]}: {error.detail}")
    return error
