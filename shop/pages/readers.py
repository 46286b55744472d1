"""Who reads a page: staff who are signed in to the admin, or whoever sends a token of the API."""

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.cache import patch_vary_headers
from rest_framework.exceptions import AuthenticationFailed

from shop.http.authentication import TokenAuthentication
from shop.http.error_pages import POLICY, problem_page
from shop.http.permissions import OFFICE
from shop.models import User

Page = Callable[..., HttpResponse]


def for_readers(page: Page) -> Page:
    """Return a page that is shown to them alone; its `request.user` is the reader.

    Nobody keeps a copy of it on the way, and it fetches nothing.
    """

    @wraps(page)
    def shown(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        try:
            reader = _reader(request)
        except AuthenticationFailed as failure:
            answer = problem_page("not-authenticated", str(failure.detail), 401)
            answer["WWW-Authenticate"] = TokenAuthentication().authenticate_header(request)
            return answer
        if reader is None:
            return redirect_to_login(request.get_full_path(), reverse("admin:login"))
        request.user = reader
        answer = page(request, *args, **kwargs)
        answer["Content-Security-Policy"], answer["Cache-Control"] = POLICY, "no-store"
        patch_vary_headers(answer, ["Authorization", "Cookie"])
        return answer

    return shown


def sees_costs(user: Any) -> bool:
    """Return whether a reader may know what the shop pays, as staff do in the admin."""
    return bool(user.is_staff or user.role in OFFICE)


def _reader(request: HttpRequest) -> User | None:
    found = TokenAuthentication().authenticate(request)
    if found:
        user: User = found[0]
        return user
    signed_in = request.user
    return signed_in if isinstance(signed_in, User) and signed_in.is_staff else None
