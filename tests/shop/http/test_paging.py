"""Pages by keyset, with the next one in the body and in Link: RFC 8288."""

import re
from datetime import UTC, datetime, timedelta
from urllib.parse import unquote

import pytest
from django.core.signing import loads
from django.db import connection

from shop.http.keysets import after, order_terms, values_of
from shop.models import Supplier, User
from tests.shop.http.answers import problem

LINK = re.compile(r'<([^>]*)>; rel="next"')  # RFC 8288 section 3


def pages(caller, path, between=lambda: None):
    """Yield each page of a list, following `next` to the end."""
    while path:
        response = caller("GET", path)
        assert response.status_code == 200, response.content
        page = response.json()
        link = LINK.fullmatch(response.get("Link", ""))
        assert (link[1] if link else None) == page.get("next")
        yield page["items"]
        between()
        path = page.get("next")


def names(caller, path, **options):
    return [row["name"] for page in pages(caller, path, **options) for row in page]


@pytest.fixture
def suppliers(db):
    """Ten suppliers, with lead times of 0 to 2 days, so that there are ties."""
    return [Supplier.objects.create(name=f"s{n}", lead_time_days=n % 3) for n in range(10)]


@pytest.mark.parametrize("limit", [1, 2, 3, 7, 10, 11])
@pytest.mark.parametrize(
    ("order", "key"),
    [
        ("", lambda row: row.pk),
        ("-id", lambda row: -row.pk),
        ("name", lambda row: row.name),
        ("lead_time_days", lambda row: (row.lead_time_days, row.pk)),
        ("-lead_time_days", lambda row: (-row.lead_time_days, -row.pk)),
        ("lead_time_days,-id", lambda row: (row.lead_time_days, -row.pk)),
        ("-lead_time_days,name", lambda row: (-row.lead_time_days, row.name)),
        ("parts_count,-lead_time_days", lambda row: (-row.lead_time_days, -row.pk)),
    ],
)
def test_the_pages_together_are_the_list_in_its_order(owner, suppliers, order, key, limit):
    path = f"/suppliers?limit={limit}" + (f"&order={order}" if order else "")

    found = list(pages(owner, path))

    assert [row["name"] for page in found for row in page] == [
        row.name for row in sorted(suppliers, key=key)
    ]
    assert len(found) == -(-10 // limit)


def test_rows_that_come_and_go_meanwhile_neither_repeat_nor_hide_the_others(owner, suppliers):
    count = iter(range(100))

    def disturb():
        number = next(count)
        for prefix in ("a", "s4x", "z"):  # before, among and after those that were there
            Supplier.objects.create(name=f"{prefix}{number}")
        Supplier.objects.filter(name=f"s{number * 2}").delete()

    found = names(owner, "/suppliers?limit=3&order=name&name=s", between=disturb)

    there_all_along = [f"s{n}" for n in (1, 3, 5, 7, 9)]
    assert [name for name in found if name in there_all_along] == there_all_along
    assert len(found) == len(set(found))


@pytest.mark.parametrize("order", ["last_login", "-last_login", "last_login,-id", "-last_login,id"])
@pytest.mark.parametrize("limit", [1, 2, 3, 50])
def test_null_is_the_greatest_value_as_postgresql_orders_it(owner, order, limit):
    now = datetime(2026, 1, 1, tzinfo=UTC)
    for n in range(6):
        last_login = now + timedelta(microseconds=n // 2) if n % 2 else None
        User.objects.create(username=f"person {n}", last_login=last_login)

    found = [
        row["id"] for page in pages(owner, f"/users?order={order}&limit={limit}") for row in page
    ]

    names = order.split(",") + (
        ["-id" if order.startswith("-") else "id"] if "," not in order else []
    )
    assert found == list(User.objects.order_by(*names).values_list("id", flat=True))


def test_microseconds_are_kept(owner):
    at = datetime(2026, 1, 1, 12, 0, 0, 123456, tzinfo=UTC)
    for n in range(3):
        User.objects.create(username=f"person {n}", date_joined=at + timedelta(microseconds=n))

    path = "/users?order=date_joined&limit=1"
    assert len([row for page in pages(owner, path) for row in page]) == 4


def test_filters_and_limit_go_along_in_next(owner, suppliers):
    Supplier.objects.create(name="other")

    assert names(owner, "/suppliers?name=s&limit=4") == [f"s{n}" for n in range(10)]


def test_the_last_page_has_no_next(owner, suppliers):
    response = owner("GET", "/suppliers?limit=10")

    assert "next" not in response.json()
    assert "Link" not in response


def test_there_are_50_rows_on_a_page_unless_asked(owner):
    Supplier.objects.bulk_create(Supplier(name=f"s{n}") for n in range(201))

    assert len(owner("GET", "/suppliers").json()["items"]) == 50
    assert len(owner("GET", "/suppliers?limit=200").json()["items"]) == 200


@pytest.mark.parametrize("limit", ["0", "201", "1000000000", "-1", "ten", "", "²", "1.0", "1e1"])
def test_another_limit_is_refused(owner, limit):
    document = problem(owner("GET", f"/suppliers?limit={limit}"), 400, "invalid-query")

    assert document["errors"][0]["parameter"] == "limit"


def cursor_of(caller, path):
    return re.search(r"cursor=([^&]*)", caller("GET", path).json()["next"])[1]


def test_a_cursor_is_good_only_for_its_list_and_order_and_unchanged(owner, suppliers):
    cursor = cursor_of(owner, "/suppliers?limit=1&order=name")

    assert owner("GET", f"/suppliers?order=name&cursor={cursor}").status_code == 200
    for wrong in (
        f"/suppliers?cursor={cursor}",
        f"/suppliers?order=-name&cursor={cursor}",
        f"/users?cursor={cursor}",
        f"/suppliers?order=name&cursor={cursor[1:]}",
        f"/suppliers?order=name&cursor=x{cursor[1:]}",
        "/suppliers?order=name&cursor=",
        "/suppliers?order=name&cursor=%00%ff",
    ):
        problem(owner("GET", wrong), 400, "invalid-cursor")


def test_a_list_with_a_slash_at_its_end_pages_too(owner, suppliers):
    assert len(names(owner, "/suppliers/?limit=4")) == 10


def test_each_page_costs_the_same_and_is_found_by_an_index(owner):
    Supplier.objects.bulk_create(Supplier(name=f"s{n:06}") for n in range(5000))
    with connection.cursor() as cursor:
        # The application may not ANALYZE; without figures, the planner would rather scan and sort.
        cursor.execute("SET LOCAL enable_seqscan = off")
        cursor.execute("SET LOCAL enable_bitmapscan = off")
    rows = Supplier.objects.order_by("name")
    terms = order_terms(rows)
    deep = values_of(rows[4000], terms)

    ordered = rows.filter(after(terms, deep)).order_by(*(term.signed_name for term in terms))[:51]

    plan = ordered.explain(analyze=True, timing=False)
    assert "Index Cond" in plan
    skipped = re.search(r"Rows Removed by Filter: (\d+)", plan)
    assert skipped is None or int(skipped[1]) <= 1  # the row that the page starts after


def test_a_cursor_holds_only_what_the_rows_are_ordered_by(owner, suppliers):
    cursor = cursor_of(owner, "/suppliers?limit=1&order=name")

    order, values = loads(unquote(cursor), salt="cursor of /api/v1/suppliers")
    assert (order, values) == (["name", "id"], ["s0", suppliers[0].pk])
