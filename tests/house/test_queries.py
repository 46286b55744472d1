"""A list costs as many statements for five rows as for one, whatever hangs on the rows."""

import re

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests.factories.billing import BagLineFactory, QuoteFactory
from tests.factories.diagnostics import ExaminationFactory
from tests.factories.shop import InstrumentFactory, MoveFactory, SupplierFactory
from tests.house.routes import ROWS, api_routes, bench_work, finding

ROUTES = [route for route in api_routes() if "GET" in route.actions]
# All rows of these are there from the first migration.
COMPLETE = {"ledger-account"}
LISTS = [route for route in ROUTES if route.view("GET").pages and route.noun not in COMPLETE]


@pytest.fixture
def statements(owner):
    def counted(path):
        with CaptureQueriesContext(connection) as captured:
            response = owner.get(path)
        assert response.status_code == 200, response.content
        return response.json(), [query["sql"] for query in captured]

    return counted


def same(first, later):
    """Assert that the statements are as many, and show those that came on top."""
    assert len(later) == len(first), "\n".join(sorted(later, key=later.count, reverse=True)[:4])


@pytest.mark.parametrize("route", LISTS, ids=lambda route: route.name)
def test_a_list_costs_the_same_for_one_row_and_for_five(statements, route):
    make = ROWS[route.noun]
    assert make, f"{route.name}: say in tests/house/routes.py how to make a row of it."
    first = make()
    siblings = {
        name.removesuffix("_id"): getattr(first, name.removesuffix("_id"))
        for name in re.findall(r"{(\w+)}", route.template)
    }
    path = route.path_of(first)
    more = 4
    one, of_one = statements(path)
    for _ in range(more):
        make(**siblings)

    five, of_five = statements(path)

    assert len(five["items"]) >= len(one["items"]) + more
    same(of_one, of_five)
    assert len(of_five) <= 10


@pytest.mark.parametrize("path", ["/reorder-report", "/reorder-report/by-supplier"])
def test_the_reorder_report_costs_the_same_for_one_part_and_for_five(statements, path):
    def lacking():
        part = MoveFactory(part__supplier=SupplierFactory()).part
        BagLineFactory(part=part, wanted_quantity=99, taken_quantity=1)

    lacking()
    one, of_one = statements(path)
    for _ in range(4):
        lacking()

    five, of_five = statements(path)

    assert (len(one["items"]), len(five["items"])) == (1, 5)
    same(of_one, of_five)
    assert len(of_five) <= 14


def test_the_history_of_an_instrument_costs_the_same_for_one_finding_and_for_five(statements):
    instrument = InstrumentFactory()
    path = f"/instruments/{instrument.pk}/history"

    def looked_at_and_worked_on():
        examination = ExaminationFactory(instrument=instrument)
        finding(examination=examination)
        bench_work(examination=examination)

    looked_at_and_worked_on()
    one, of_one = statements(path)
    for _ in range(4):
        looked_at_and_worked_on()

    five, of_five = statements(path)

    assert [len(one["findings"]), len(one["bench_work"])] == [1, 1]
    assert [len(five["findings"]), len(five["bench_work"])] == [5, 5]
    same(of_one, of_five)


def test_a_quote_costs_the_same_with_one_part_in_its_bag_and_with_five(statements):
    quote = QuoteFactory()
    BagLineFactory(quote=quote)
    path = f"/quotes/{quote.pk}"
    one, of_one = statements(path)
    for _ in range(4):
        BagLineFactory(quote=quote)

    five, of_five = statements(path)

    assert (len(one["bag_lines"]), len(five["bag_lines"])) == (1, 5)
    same(of_one, of_five)
