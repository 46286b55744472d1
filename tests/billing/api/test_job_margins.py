import csv
from decimal import Decimal

from django.utils import timezone

from billing.actions.book_entries import Recorded
from billing.actions.credit_notes import credit_note_issue
from billing.models import Quote, QuoteOption
from shop.models import PlaceKind, ShopProfile
from tests.factories.billing import COMPLETED, CreditNoteFactory, InvoiceFactory, QuoteFactory
from tests.factories.diagnostics import BenchWorkFactory
from tests.factories.options import QuoteAgreementFactory
from tests.factories.shop import MoveFactory, UserFactory
from tests.factories.world import NOW, TODAY, outside


def test_a_job_earned_what_was_invoiced_less_parts_and_minutes(office):
    quote = QuoteFactory(completed=True)
    part = MoveFactory(to_place=quote.bag).part
    used = outside(PlaceKind.USED)
    MoveFactory(part=part, from_place=quote.bag, to_place=used, quantity=5, value=Decimal(6))
    MoveFactory(part=part, from_place=quote.bag, quantity=1, value=Decimal(1))  # not needed
    for minutes in (Decimal("10.5"), Decimal("19.5")):
        BenchWorkFactory(examination=quote.examination, bag=quote.bag, minutes=minutes)
    invoice = InvoiceFactory(quote=quote, client=quote.client, issued=True)
    note = CreditNoteFactory(corrects=invoice, net_total=Decimal(10), tax_total=Decimal("1.75"))
    credit_note_issue(note=note, issued_on=TODAY, recorded=Recorded(NOW, UserFactory()))
    InvoiceFactory(quote=quote, client=quote.client)  # a draft earned nothing yet
    path = "/job-margins?opened_on=2026-03-02&closed_on=2026-03-02"
    names = ("invoiced_net", "parts_cost", "minutes", "labour_cost", "margin")

    unsaid = office.get(path).json()["items"][0]
    assert [unsaid[name] for name in names] == ["90.00", "6.00", "30", None, None]

    ShopProfile.objects.update(labour_cost_per_hour=Decimal("60.01"))
    answer = office.get(path).json()
    # 30 minutes at 60.01 an hour are 30.005; what is left is of what they are rounded to.
    expected = ["90.00", "6.00", "30", "30.01", "53.99"]
    assert [answer["items"][0][name] for name in names] == expected
    assert [answer["total"][name] for name in names] == expected
    text = office.get(f"{path}&format=csv").content.decode()
    assert [row["margin"] for row in csv.DictReader(text.splitlines())] == ["53.99"]


def test_a_job_is_of_the_day_on_which_it_was_completed_where_the_shop_is(office):
    QuoteFactory(completed=True)

    def found(opened_on, closed_on):
        path = f"/job-margins?opened_on={opened_on}&closed_on={closed_on}"
        return len(office.get(path).json()["items"])

    assert [found("2026-03-01", "2026-03-01"), found("2026-03-03", "2026-03-04")] == [0, 0]
    assert [found("2026-03-02", "2026-03-02"), found("0002-01-01", "9998-12-31")] == [1, 1]
    with timezone.override("Pacific/Honolulu"):  # ten hours behind UTC
        assert [found("2026-03-01", "2026-03-01"), found("2026-03-02", "2026-03-02")] == [1, 0]


def test_what_was_quoted_is_what_the_client_took_of_it(office):
    # The firm 100.00 and an option of 50.00.
    agreement = QuoteAgreementFactory(net_total=Decimal(150), tax_total=Decimal("26.25"))
    QuoteOption.objects.update(agreement=agreement)
    Quote.objects.filter(pk=agreement.quote_id).update(**COMPLETED)
    path = "/job-margins?opened_on=2026-03-02&closed_on=2026-03-02"
    assert [row["quoted_net"] for row in office.get(path).json()["items"]] == ["150.00"]
