import pytest

from billing.models import NumberSeries
from tests.factories.billing import InvoiceFactory, NumberSeriesFactory, next_in_series
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db


def test_there_is_one_series_of_a_code_and_year():
    NumberSeriesFactory(code="invoice", year=2026)
    with refused("billing_numberseries_once"):
        NumberSeriesFactory(code="invoice", year=2026)
    with accepted():
        NumberSeriesFactory(code="invoice", year=2027)
        NumberSeriesFactory(code="credit note", year=2026)


def test_a_series_starts_with_no_number_given_out():
    with refused("billing_numberseries_from_nothing"):
        NumberSeriesFactory(last_number=1)
    with accepted():
        NumberSeriesFactory(last_number=0)


@pytest.mark.parametrize(
    "change",
    [
        {"last_number": 3},
        {"last_number": 1},
        {"last_number": 0},
        {"last_number": 2, "code": "credit note"},
        {"last_number": 2, "year": 2027},
    ],
    ids=lambda change: " ".join(f"{column} {value}" for column, value in change.items()),
)
def test_numbers_go_up_by_one(change):
    InvoiceFactory(issued=True)
    series = NumberSeries.objects.get()
    assert series.last_number == 1
    with refused("billing_numberseries_by_one"):
        NumberSeries.objects.update(**change)
    with accepted():
        InvoiceFactory(issued=True)
    series.refresh_from_db()
    assert series.last_number == 2


def test_a_number_is_given_out_with_the_invoice_that_bears_it():
    with refused("billing_numberseries_no_gap"):
        next_in_series()
    with refused("billing_numberseries_no_gap"):
        next_in_series()
        InvoiceFactory(issued=True)
    with accepted():
        InvoiceFactory.create_batch(3, issued=True)


def test_a_series_is_kept():
    series = NumberSeriesFactory()
    with refused("billing_numberseries_kept"):
        NumberSeries.objects.filter(pk=series.pk).delete()
    with accepted():
        NumberSeriesFactory()
