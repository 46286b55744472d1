import csv
from decimal import Decimal

from django.utils import timezone

from billing.actions.book_entries import Recorded
from billing.actions.credit_notes import credit_note_issue
from shop.models import PlaceKind, ShopProfile
from tests.factories.billing import CreditNoteFactory, InvoiceFactory, QuoteFactory
from tests.factories.diagnostics import BenchWorkFactory
from tests.factories.shop import MoveFactory, UserFactory
from tests.factories.world import NOW, TODAY, outside


def test_a_job_earned_what_was_invoiced_less_parts_and_minutes(office):
    quote = QuoteFactory(completed=True)
    part = MoveFactory(to_place=quote.bag).part
    used = outside(PlaceKind.USED)
    MoveFactory(part=part, from_place=quote.bag, to_place=used, quantity=5, value=Decimal(6))
    for minutes in (Decimal("20.5"), Decimal("24.5")):
        BenchWorkFactory(examination=quote.examination, bag=quote.bag, minutes=minutes)
    invoice = InvoiceFactory(quote=quote, client=quote.client, issued=True)
    note = CreditNoteFactory(corrects=invoice, net_total=Decimal(10), tax_total=Decimal("1.75"))
    credit_note_issue(note=note, issued_on=TODAY, recorded=Recorded(NOW, UserFactory()))
    InvoiceFactory(quote=quote, client=quote.client)  # a draft earned nothing yet
    path = "/job-margins?opened_on=2026-03-02&closed_on=2026-03-02"
    names = ("invoiced_net", "parts_cost", "minutes", "labour_cost", "margin")

    unsaid = office.get(path).json()["items"][0]
    assert [unsaid[name] for name in names] == ["90.00", "6.00", "45", None, None]

    ShopProfile.objects.update(labour_cost_per_hour=40)
    answer = office.get(path).json()
    # 45 minutes at 40.00 an hour are 30.00.
    assert [answer["items"][0][name] for name in names] == ["90.00", "6.00", "45", "30.00", "54.00"]
    assert [answer["total"][name] for name in names] == ["90.00", "6.00", "45", "30.00", "54.00"]
    text = office.get(f"{path}&format=csv").content.decode()
    assert [row["margin"] for row in csv.DictReader(text.splitlines())] == ["54.00"]


def test_a_job_is_of_the_day_on_which_it_was_completed_where_the_shop_is(office):
    QuoteFactory(completed=True)

    def found(opened_on, closed_on):
        path = f"/job-margins?opened_on={opened_on}&closed_on={closed_on}"
        return len(office.get(path).json()["items"])

    assert [found("2026-03-01", "2026-03-01"), found("2026-03-03", "2026-03-04")] == [0, 0]
    assert [found("2026-03-02", "2026-03-02"), found("0002-01-01", "9998-12-31")] == [1, 1]
    with timezone.override("Pacific/Honolulu"):  # ten hours behind UTC
        assert [found("2026-03-01", "2026-03-01"), found("2026-03-02", "2026-03-02")] == [1, 0]
