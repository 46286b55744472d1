"""Who is let in, and to what: RFC 6750, and roles."""

from datetime import timedelta

import pytest
from django.utils import timezone
from knox.models import AuthToken

from shop.http.permissions import EVERYONE, OFFICE, OWNER, RoleGranted, granted, grants
from shop.models import Role, Supplier, User
from tests.callers import caller_with
from tests.shop.http.answers import problem


def test_a_token_lets_its_user_in_with_one_statement(owner, django_assert_num_queries):
    with django_assert_num_queries(2):  # the person with the token, and the list
        assert owner("GET", "/users").status_code == 200


def assert_refused(response):
    document = problem(response, 401, "token-refused")
    assert document["detail"] == "The token is unknown or has expired."
    assert response["WWW-Authenticate"] == 'Bearer error="invalid_token"'  # RFC 6750 section 3.1


def test_an_expired_token_is_refused(owner):
    owner.token.expiry = timezone.now() - timedelta(seconds=1)
    owner.token.save()

    assert_refused(owner("GET", "/suppliers"))


def test_a_revoked_token_is_refused_at_once(owner):
    assert owner("GET", "/suppliers").status_code == 200
    AuthToken.objects.all().delete()

    assert_refused(owner("GET", "/suppliers"))


def test_someone_who_left_is_refused(owner):
    User.objects.update(is_active=False)

    assert_refused(owner("GET", "/suppliers"))


def test_a_token_without_an_end_is_taken(owner):
    owner.token.expiry = None
    owner.token.save()

    assert owner("GET", "/suppliers").status_code == 200


def test_a_token_that_differs_by_one_character_is_refused(owner):
    token = owner.headers["Authorization"]
    last = "0" if token[-1] != "0" else "1"

    for wrong in (token[:-1], token[:-1] + last, token + "0"):
        assert_refused(owner("GET", "/suppliers", Authorization=wrong))


@pytest.mark.parametrize("header", ["Bearer", "Bearer a b", "Bearer \xff", "Bearer ''", "bearer x"])
def test_a_malformed_header_is_refused(nobody, header):
    response = nobody("GET", "/suppliers", Authorization=header)

    problem(response, 401, "token-refused")
    assert response["WWW-Authenticate"].startswith("Bearer")


@pytest.mark.parametrize("header", ["", "Basic YTpi", "Digest x"])
def test_another_scheme_is_told_which_is_wanted(nobody, header):
    response = nobody("GET", "/suppliers", Authorization=header)

    problem(response, 401, "not-authenticated")
    assert response["WWW-Authenticate"] == "Bearer"


def test_a_session_does_not_let_anyone_in(owner, nobody):
    nobody.browser.force_login(owner.user)

    problem(nobody("GET", "/suppliers"), 401, "not-authenticated")


# What the view grants: reading to everyone, changing to the office, removing to the owner.
@pytest.mark.parametrize(
    ("role", "read", "created", "removed"),
    [
        (Role.TECHNICIAN, 200, 403, 403),
        (Role.OFFICE, 200, 201, 403),
        (Role.OWNER, 200, 201, 204),
    ],
)
def test_a_role_may_do_what_the_view_grants(db, role, read, created, removed):
    caller = caller_with(role)
    supplier = Supplier.objects.create(name="Felt")
    path = f"/suppliers/{supplier.pk}"

    assert caller("GET", path).status_code == read
    assert caller("POST", "/suppliers", '{"name": "Cloth"}').status_code == created
    assert caller("DELETE", path, If_Match="*").status_code == removed


def test_a_change_of_role_counts_at_once(office):
    User.objects.update(role=Role.TECHNICIAN)

    problem(office("POST", "/suppliers", '{"name": "Felt"}'), 403, "forbidden")


def test_a_report_may_have_grants_of_its_own(owner, office):
    assert owner("GET", "/clients/owners-only").status_code == 200
    problem(office("GET", "/clients/owners-only"), 403, "forbidden")


class View:
    def __init__(self, action, **roles):
        self.action, self.roles = action, grants(**roles)


@pytest.mark.parametrize(
    ("view", "method", "roles"),
    [
        (View("list"), "GET", frozenset()),
        (View("list", read=EVERYONE), "GET", EVERYONE),
        (View("list", read=EVERYONE), "HEAD", EVERYONE),
        (View("create", read=EVERYONE), "POST", frozenset()),
        (View("create", write=OFFICE), "POST", OFFICE),
        (View("approve", write=OFFICE, approve=OWNER), "POST", OWNER),
        (View("approve", write=OFFICE, approve=frozenset()), "POST", frozenset()),
        (View("list", read=OFFICE, list=EVERYONE), "GET", EVERYONE),
    ],
)
def test_a_method_counts_before_its_kind_and_what_is_not_granted_is_denied(view, method, roles):
    assert granted(view, method) == roles


def test_grants_cannot_be_changed_later():
    with pytest.raises(TypeError):
        grants(read=EVERYONE)["write"] = EVERYONE


def test_nobody_is_never_granted_anything(rf):
    request = rf.get("/")
    request.user = None

    assert not RoleGranted().has_permission(request, View("list", read=EVERYONE))
