"""What Django answers when no view does: problems under /api, plain pages elsewhere.

`shop/urls.py` names these as handler400, handler403, handler404 and handler500.
"""

from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string

from shop.errors import ShopError
from shop.http.handler import problem_of
from shop.http.negotiation import preferred_type
from shop.http.problems import PROBLEM_JSON, RequestProblem, problem_kind, problem_response

API = "/api/"
POLICY = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"


def bad_request(request: HttpRequest, exception: Exception) -> HttpResponse:
    """Return the answer to a request that Django would not take up."""
    problem = problem_of(exception) or RequestProblem(
        "bad-request", "The request could not be understood."
    )
    return _answer(request, problem)


def permission_denied(request: HttpRequest, exception: Exception) -> HttpResponse:  # noqa: ARG001
    """Return the answer to someone who may not do this."""
    return _answer(request, RequestProblem("forbidden", "You may not do this."))


def page_not_found(request: HttpRequest, exception: Exception) -> HttpResponse:  # noqa: ARG001
    """Return the answer to an address that nothing serves."""
    return _answer(request, RequestProblem("not-found", "There is nothing at this address."))


def server_error(request: HttpRequest) -> HttpResponse:
    """Return the answer to a fault of the program, which Django has logged."""
    return _answer(request, RequestProblem("internal-error", "The server met a fault of its own."))


def problem_page(kind_code: str, detail: str = "", status: int = 200) -> HttpResponse:
    """Return the page that explains a kind of problem; it asks no session and no database."""
    content = render_to_string(
        "shop/problem.html", {"kind": problem_kind(kind_code), "detail": detail}
    )
    return HttpResponse(content, status=status, headers={"Content-Security-Policy": POLICY})


def _answer(request: HttpRequest, problem: ShopError) -> HttpResponse:
    if not _wants_a_page(request):
        answer = problem_response(request, problem)
        answer["Cache-Control"] = "no-store"
        return answer
    return problem_page(problem.code, problem.detail, problem_kind(problem.code).status)


def _wants_a_page(request: HttpRequest) -> bool:
    if request.path.startswith(API):
        return False
    offered = ["text/html", "application/json", PROBLEM_JSON]
    return preferred_type(request.headers.get("Accept", "*/*"), offered) in {"text/html", None}
