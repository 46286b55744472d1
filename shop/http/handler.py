"""How an exception becomes a problem document, inside a view of the API and outside."""

from collections.abc import Callable
from typing import Any

from django.core.exceptions import (
    BadRequest,
    PermissionDenied,
    RequestDataTooBig,
    SuspiciousOperation,
)
from django.core.exceptions import ValidationError as ModelValidationError
from django.db.models import ProtectedError, RestrictedError
from django.http import Http404, HttpResponse, QueryDict
from rest_framework import exceptions
from rest_framework.fields import get_error_detail
from rest_framework.request import Request

from shop.errors import FieldError, ShopError
from shop.http.database_problems import database_problem, in_use
from shop.http.field_errors import as_sent, field_errors, invalid_input, summary
from shop.http.problems import RequestProblem, problem_response


def answer_problem(error: Exception, context: dict[str, Any]) -> HttpResponse | None:
    """Return the answer to an exception that a view raised; None lets a fault reach Django."""
    request: Request = context["request"]
    problem = problem_of(error) or database_problem(error, request.method or "")
    if problem is None:
        return None
    return problem_response(request, _in_terms_of_the_body(problem, request, context["view"]))


def problem_of(error: Exception) -> ShopError | None:
    """Return the problem that `error` means to the caller; None for a fault of the program."""
    if isinstance(error, ShopError):
        return error
    for kind, problem in MEANINGS.items():
        if isinstance(error, kind):
            return problem(error)
    return None


def _in_terms_of_the_body(problem: ShopError, request: Request, view: Any) -> ShopError:
    """Return a problem that counts rows as one that names lines, or no row where one was sent."""
    # What is wrong with the query is known before the body is read, which may be unreadable.
    is_of_body = any(isinstance(error, FieldError) for error in problem.errors)
    if not (is_of_body and getattr(view, "takes_list", False)):
        return problem
    body = request.data
    if isinstance(body, QueryDict):  # REST framework's word for a body that could not be read
        return problem
    lines = [row.line for row in body if hasattr(row, "line")] if isinstance(body, list) else []
    errors = tuple(
        as_sent(error, lines=lines, is_single=isinstance(body, dict)) for error in problem.errors
    )
    detail = summary(errors) if problem.detail == summary(problem.errors) else problem.detail
    return RequestProblem(problem.code, detail, errors, getattr(problem, "headers", None))


def _plain(code: str, detail: str, **headers: str) -> Callable[[Any], ShopError]:
    """Return what makes a problem in the same words of every error."""
    sent = {name.replace("_", "-"): value for name, value in headers.items()}
    return lambda _: RequestProblem(code, detail, (), sent)


def _refused_token(error: exceptions.AuthenticationFailed) -> ShopError:
    challenge = {"WWW-Authenticate": 'Bearer error="invalid_token"'}  # RFC 6750 section 3.1
    return RequestProblem("token-refused", str(error.detail), (), challenge)


def _throttled(error: exceptions.Throttled) -> ShopError:
    wait_s = str(getattr(error, "wait", None) or 1)
    detail = f"Too many requests; wait {wait_s} s."
    return RequestProblem("too-many-requests", detail, (), {"Retry-After": wait_s})


_not_found = _plain("not-found", "There is nothing here that you may see.")
_forbidden = _plain("forbidden", "Your role does not include this.")
_bad_request = _plain("bad-request", "The request could not be understood.")

# The first that fits counts, so a subclass stands above its base.
MEANINGS: dict[type[Exception], Callable[[Any], ShopError]] = {
    exceptions.ValidationError: lambda error: invalid_input(tuple(field_errors(error.detail))),
    ModelValidationError: lambda error: invalid_input(tuple(field_errors(get_error_detail(error)))),
    exceptions.NotAuthenticated: _plain(
        "not-authenticated",
        "Sign in: send the header Authorization: Bearer <token>.",
        WWW_Authenticate="Bearer",
    ),
    exceptions.AuthenticationFailed: _refused_token,
    exceptions.PermissionDenied: _forbidden,
    PermissionDenied: _forbidden,
    exceptions.NotFound: _not_found,
    Http404: _not_found,
    exceptions.MethodNotAllowed: _plain(
        "method-not-allowed", "This address does not take this method; see the header Allow."
    ),
    exceptions.NotAcceptable: _plain(
        "not-acceptable", "This address has none of the media types that Accept names."
    ),
    exceptions.UnsupportedMediaType: _plain(
        "unsupported-media-type", "This address does not take the media type of Content-Type."
    ),
    exceptions.Throttled: _throttled,
    ProtectedError: lambda _: in_use(),
    RestrictedError: lambda _: in_use(),
    RequestDataTooBig: _plain("body-too-large", "The body is larger than this address takes."),
    SuspiciousOperation: _bad_request,
    BadRequest: _bad_request,
    exceptions.ParseError: _bad_request,
}
