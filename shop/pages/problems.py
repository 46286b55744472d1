"""The pages behind the `type` of every problem: /problems/ lists all, /problems/<code> explains."""

from django.http import Http404, HttpRequest, HttpResponse
from django.template.loader import render_to_string
from django.views.decorators.http import require_safe

from shop.http.error_pages import POLICY, problem_page
from shop.http.problems import problem_kinds


@require_safe
def problem_list(request: HttpRequest) -> HttpResponse:  # noqa: ARG001 (Django passes it)
    """Return the page that lists every kind of problem."""
    kinds = sorted(problem_kinds().values(), key=lambda kind: (kind.status, kind.code))
    content = render_to_string("shop/problems.html", {"kinds": kinds})
    return HttpResponse(content, headers={"Content-Security-Policy": POLICY})


@require_safe
def problem_detail(request: HttpRequest, code: str) -> HttpResponse:  # noqa: ARG001
    """Return the page that explains one kind of problem.

    Raises:
        Http404: there is no such kind.
    """
    if code not in problem_kinds():
        raise Http404
    return problem_page(code)
