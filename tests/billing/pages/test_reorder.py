import re
from datetime import timedelta
from itertools import pairwise
from xml.etree import ElementTree

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from billing.queries.reorder import reorder_row
from shop.models import Role
from tests.callers import caller_with
from tests.factories.billing import BagLineFactory
from tests.factories.shop import MoveFactory, PartFactory, SupplierFactory
from tests.factories.world import main_shelf, outside
from tests.office_pages import read, sign_in

pytestmark = pytest.mark.django_db
SVG = {"svg": "http://www.w3.org/2000/svg"}


@pytest.fixture
def felt():
    """Four were used in each of the last twenty weeks, and five are left."""
    part = PartFactory(
        code="felt",
        name="Felt <b>&</b> cloth",
        supplier=SupplierFactory(name="Cloth and Felt Guild", minimum_order_value=500),
    )
    now = timezone.now()
    MoveFactory(part=part, quantity=85, value=40, moved_at=now - timedelta(weeks=20))
    for week in range(1, 21):
        MoveFactory(
            part=part,
            from_place=main_shelf(),
            to_place=outside("used"),
            quantity=4,
            value=1,
            moved_at=now - timedelta(weeks=week),
        )
    return part


def plot(page):
    return ElementTree.fromstring(page[page.index("<svg") : page.index("</svg>") + 6])


def test_what_to_order_stands_under_its_supplier(felt):
    PartFactory(name="Bridle strap")
    page = read(sign_in(), "/reorder")
    assert "Cloth and Felt Guild" in page
    assert "are missing to it" in page
    assert "Felt &lt;b&gt;&amp;&lt;/b&gt; cloth" in page
    assert "Bridle strap" not in page
    assert "Bridle strap" in read(sign_in(), "/reorder", all="yes")


def test_nothing_to_order_is_said():
    assert "Nothing need be ordered." in read(sign_in(), "/reorder")


def test_a_part_is_drawn_with_its_stock_its_demand_and_its_forecast(felt):
    page = read(sign_in(), "/reorder/felt")
    drawn = plot(page)
    bars = drawn.findall(".//svg:rect[@class='demand']", SVG)
    assert len(bars) == 20
    assert all(bar.find("svg:title", SVG).text.endswith(": 4 piece") for bar in bars)
    # Down from 81 to 5 in steps of four, one level a week.
    (stock,) = drawn.findall(".//svg:path[@class='stock']", SVG)
    heights = [float(y) for y in re.findall(r"[ML][\d.]+ ([\d.]+)h", stock.get("d"))]
    falls = {round(after - before, 1) for before, after in pairwise(heights)}
    assert (len(heights), len(falls)) == (20, 1)
    # The forecast of each week, and of eight to come.
    (forecast,) = drawn.findall(".//svg:path[@class='forecast']", SVG)
    assert len(re.findall("[ML]", forecast.get("d"))) == 28
    told = drawn.find("svg:desc", SVG).text
    # By hand: 4 in 7 days, 2 below the point, and 1.645 x √(1² + 2²).
    assert "Held at the end: 5; reorder point 10." in told


def test_each_number_is_told_with_its_formula(felt):
    page = read(sign_in(), "/reorder/felt")
    for reason in reorder_row(part=felt, now=timezone.now()).reasons:
        assert f"<code>{reason.number}</code>" in page
    assert "4.00 × 14 / 7" not in page
    assert "4.00 × 7 / 7 = 4.00" in page


def test_a_part_that_was_never_there_has_nothing_to_draw():
    part = PartFactory(code="new")
    page = read(sign_in(), f"/reorder/{part.code}")
    assert "nothing to draw" in page
    assert "<svg" not in page


def test_a_part_in_its_first_week_is_drawn():
    BagLineFactory(
        part__code="new", quote__made_at=timezone.now(), wanted_quantity=3, taken_quantity=0
    )
    (bar,) = plot(read(sign_in(), "/reorder/new")).findall(".//svg:rect[@class='demand']", SVG)
    assert bar.find("svg:title", SVG).text.endswith(": 2 piece")


@pytest.mark.parametrize("address", ["/reorder", "/reorder/felt", "/reorder?all=yes"])
def test_a_page_fetches_nothing_and_is_kept_by_nobody(felt, address):
    answer = sign_in().get(address)
    assert answer["Content-Security-Policy"].startswith("default-src 'none'")
    assert answer["Cache-Control"] == "no-store"
    assert {"Authorization", "Cookie"} <= set(answer["Vary"].split(", "))
    assert not re.findall(r'(?:src|url)\s*[=(]|href="(?!/)', answer.content.decode())


@pytest.mark.parametrize("address", ["/reorder", "/reorder/felt"])
def test_a_page_is_for_staff_and_for_those_with_a_token(felt, address):
    login = f"/admin/login/?next={address}"
    stranger, colleague = Client(), sign_in(is_staff=False)
    assert [each.get(address).headers["Location"] for each in (stranger, colleague)] == [login] * 2
    for role in Role:
        assert (
            caller_with(role).browser.get(address, headers=caller_with(role).headers).status_code
            == 200
        )


def test_a_token_that_is_none_is_refused(felt):
    answer = Client().get("/reorder", headers={"Authorization": "Bearer nonsense"})
    assert answer.status_code == 401
    assert answer["WWW-Authenticate"].startswith("Bearer")


def test_costs_are_for_staff_and_the_office_alone(felt):
    technician = caller_with(Role.TECHNICIAN)
    hidden = [
        technician.browser.get(address, headers=technician.headers).content.decode()
        for address in ("/reorder", "/reorder/felt")
    ]
    seen = [read(sign_in(), address) for address in ("/reorder", "/reorder/felt")]
    assert ["Cost" in page or "economic_packs" in page for page in seen] == [True, True]
    assert ["Cost" in page or "economic_packs" in page for page in hidden] == [False, False]
    assert ["minimum 500.00" in page for page in seen] == [True, False]
    assert "An order below the supplier's minimum is filled up" in seen[1]
    assert not any("minimum 500.00" in page for page in hidden)


def test_a_part_that_there_is_not_is_not_found():
    answer = sign_in().get("/reorder/none", headers={"Accept": "text/html"})
    assert answer.status_code == 404


def test_a_page_is_read_and_never_sent():
    assert sign_in().post("/reorder").status_code == 405


def test_a_page_costs_the_same_for_one_part_and_for_five():
    browser = sign_in()

    def counted(address):
        with CaptureQueriesContext(connection) as captured:
            read(browser, address)
        return len(captured)

    def lacking():
        return BagLineFactory(wanted_quantity=9, taken_quantity=0).part

    first = lacking()
    pages = ["/reorder", f"/reorder/{first.code}"]
    one = [counted(page) for page in pages]
    for _ in range(4):
        lacking()
    assert [counted(page) for page in pages] == one
