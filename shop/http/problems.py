"""Problem documents (RFC 9457): how an error becomes an answer, and which kinds there are."""

import json
from collections.abc import Mapping
from dataclasses import asdict
from functools import cache
from importlib import import_module

from django.apps import apps
from django.core.exceptions import DisallowedHost
from django.http import HttpRequest, HttpResponse
from django.utils.module_loading import module_has_submodule

from shop.errors import FieldError, ParameterError, ProblemKind, ShopError
from shop.http import problem_kinds as shared
from shop.http.database_rules import database_rules

PROBLEM_JSON = "application/problem+json"
PAGES = "/problems/"


class RequestProblem(ShopError):
    """What is wrong with a request as HTTP: the kind of its code says the status.

    `headers` go with the answer.
    """

    def __init__(
        self,
        code: str,
        detail: str,
        errors: tuple[FieldError | ParameterError, ...] = (),
        headers: Mapping[str, str] | None = None,
    ) -> None:
        super().__init__(code, detail, errors)
        self.headers = headers or {}


@cache
def problem_kinds() -> dict[str, ProblemKind]:
    """Return every kind of problem by its code: shared, of each app, and of the schema's rules."""
    kinds = {kind.code: kind for kind in _kinds_of_rules()}
    kinds |= {kind.code: kind for kind in shared.PROBLEMS}
    for app in apps.get_app_configs():
        if app.module is not None and module_has_submodule(app.module, "errors"):
            errors = import_module(f"{app.name}.errors")
            kinds |= {kind.code: kind for kind in getattr(errors, "PROBLEMS", ())}
    return kinds


def problem_kind(code: str) -> ProblemKind:
    """Return the kind of problem that `code` stands for.

    Raises:
        LookupError: it stands in no app's `PROBLEMS`, which is a mistake of the program.
    """
    try:
        return problem_kinds()[code]
    except KeyError:
        raise LookupError(f"Add the problem {code!r} to PROBLEMS in the app's errors.py.") from None


def problem_response(request: HttpRequest, problem: ShopError) -> HttpResponse:
    """Return `problem` as an `application/problem+json` answer."""
    kind = problem_kind(problem.code)
    document = {
        "type": problem_type(request, kind.code),
        "title": kind.title,
        "status": kind.status,
        "detail": problem.detail,
    }
    if problem.errors:
        document["errors"] = [asdict(error) for error in problem.errors]
    return HttpResponse(
        json.dumps(document, ensure_ascii=False),
        status=kind.status,
        content_type=PROBLEM_JSON,
        headers=getattr(problem, "headers", None),
    )


def problem_type(request: HttpRequest, code: str) -> str:
    """Return the absolute address of the page that explains `code`.

    It is relative when the request's host is not one of ours, rather than repeat a forged name.
    """
    try:
        return request.build_absolute_uri(f"{PAGES}{code}")
    except DisallowedHost:
        return f"{PAGES}{code}"


def _kinds_of_rules() -> list[ProblemKind]:
    sentences: dict[str, list[str]] = {}
    for rule in database_rules().values():
        known = sentences.setdefault(rule.code, [])
        if rule.sentence not in known:
            known.append(rule.sentence)
    return [
        ProblemKind(code, 409, code.replace("-", " ").capitalize(), " ".join(known))
        for code, known in sentences.items()
    ]
