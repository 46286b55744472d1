import json
import os
import random
from collections import Counter
from contextlib import suppress
from datetime import timedelta
from decimal import Decimal

import pytest
from django.db import transaction
from stdnum.iso11649 import is_valid as is_reference

from billing.actions.invoices import invoice_issue
from billing.models import BagLine, Invoice, InvoiceStatus, NumberSeries, Quote
from shop.models import Level, PlaceKind, Role
from tests.billing.conftest import ON_SHELF, make_workshop
from tests.callers import Caller, caller_with
from tests.factories.billing import (
    CreditNoteFactory,
    FeeFactory,
    InvoiceFactory,
    LabourRateFactory,
)
from tests.factories.diagnostics import (
    CauseFactory,
    ExaminationFactory,
    FindingFactory,
    RemedyFactory,
    RemedyPartFactory,
)
from tests.factories.shop import PartFactory, PlaceFactory, TaxCategoryFactory
from tests.factories.world import NOW, TODAY, main_shelf, outside, stock
from tests.shop.stock_machine import (
    refuse_unless_tied_out,
    stored_holdings,
    stored_levels,
    sums_of_moves,
)
from tests.together import at_once, run_program

QUOTERS = 20
ISSUERS, INVOICES = 8, 40
# Each credit note has an issued invoice that it corrects.
INVOICES_OF_THE_KILLED, CREDIT_NOTES, KILLS = 100, 20, 20
PROCESSES, HOT_PARTS, PARTS_OF_A_JOB = 8, 20, 12
# Of each process, in CI; HOT_PARTS_ACTIONS=500 is the whole trial.
ACTIONS = int(os.environ.get("HOT_PARTS_ACTIONS", "40"))


def refuse_unless_conserved():
    """Levels and holdings are the sums of the moves, and each part sums to nothing."""
    assert (stored_levels(), stored_holdings()) == sums_of_moves()
    totals = Counter()
    for (_place, part), quantity in stored_levels().items():
        totals[part] += quantity
    assert not any(totals.values())
    refuse_unless_tied_out(NOW - timedelta(days=30), NOW)


def test_twenty_who_quote_the_last_pins_at_once_take_each_pin_once(committed_database):
    workshop = make_workshop()
    user = caller_with(Role.TECHNICIAN).user
    callers, paths = [Caller(user) for _ in range(QUOTERS)], []
    for _ in range(QUOTERS):
        workshop.examination = ExaminationFactory(technician=user)
        workshop.find([60, 61])
        paths.append(f"/examinations/{workshop.examination.pk}/quote")

    def quote(index):
        # Every second one wants all of its kit or nothing.
        return callers[index].post(paths[index], {"require_stock": index % 2 == 1})

    answers = at_once(QUOTERS, quote)

    assert {answer.status_code for answer in answers[::2]} == {201}
    for answer in answers[1::2]:
        assert answer.status_code == 201 or answer.json()["type"].endswith("/stock-short")
    made = Quote.objects.all()
    assert len(made) == sum(answer.status_code == 201 for answer in answers)
    taken = Counter()
    for line in BagLine.objects.all():
        taken[line.part_id] += line.taken_quantity
        bagged = Level.objects.filter(place=line.quote.bag, part=line.part, quantity__gt=0)
        assert sum(level.quantity for level in bagged) == line.taken_quantity
    for pin in workshop.pins.values():
        left = Level.objects.get(place=main_shelf(), part=pin).quantity
        assert left >= 0
        assert taken[pin.pk] + left == ON_SHELF
    # Together they wanted more than there was of the size that is met most.
    assert Level.objects.get(place=main_shelf(), part=workshop.pins["20"]).quantity == 0
    refuse_unless_conserved()


class Failed(Exception):
    """Something went wrong after the invoice had got its number."""


def issue(invoice, fails):
    with suppress(Failed), transaction.atomic():
        invoice_issue(invoice=invoice, issued_on=TODAY)
        if fails:
            raise Failed


def issue_at_once(invoices, failing=()):
    """Issue invoices in turn from several connections; some fail once they have a number."""

    def issue_some(connection):
        for invoice in invoices[connection::ISSUERS]:
            issue(invoice, invoice in failing)

    at_once(ISSUERS, issue_some)


@pytest.fixture
def drafts(committed_database):
    with transaction.atomic():
        return [InvoiceFactory() for _ in range(INVOICES)]


def issued_sequences():
    issued = Invoice.objects.filter(status=InvoiceStatus.ISSUED)
    return sorted(issued.values_list("sequence", flat=True))


def test_forty_invoices_issued_at_once_get_forty_consecutive_numbers(drafts):
    issue_at_once(drafts)

    assert issued_sequences() == list(range(1, INVOICES + 1))
    numbers = sorted(Invoice.objects.values_list("number", flat=True))
    assert numbers == [f"{TODAY.year}-{number:05d}" for number in range(1, INVOICES + 1)]
    assert NumberSeries.objects.get().last_number == INVOICES


def test_invoices_that_fail_after_their_number_was_taken_leave_no_gap(drafts):
    failing = drafts[::5]

    issue_at_once(drafts, failing)

    assert issued_sequences() == list(range(1, INVOICES - len(failing) + 1))
    left = Invoice.objects.filter(status=InvoiceStatus.DRAFT, sequence=None)
    assert set(left) == set(failing)
    issue_at_once(failing)
    assert issued_sequences() == list(range(1, INVOICES + 1))


@pytest.fixture
def drafts_of_both_series(committed_database):
    with transaction.atomic():
        notes = CreditNoteFactory.create_batch(CREDIT_NOTES)
        return [*notes, *InvoiceFactory.create_batch(INVOICES_OF_THE_KILLED)]


def refuse_unless_whole(document):
    """An issued document has all that issuing gives it, and its rows come to its totals."""
    assert document.status == InvoiceStatus.ISSUED
    assert document.seller
    assert document.buyer
    assert document.due_on >= document.issued_on
    assert document.issued_on.year == document.series.year
    assert document.number.endswith(f"{document.series.year}-{document.sequence:05d}")
    assert is_reference(document.reference)
    assert sum(line.net_amount for line in document.lines.all()) == document.net_total
    assert sum(tax.tax_amount for tax in document.taxes.all()) == document.tax_total


def test_processes_killed_while_they_issue_leave_no_gap_no_double_and_nothing_half_issued(
    drafts_of_both_series, database_environment
):
    killed = run_program("tests.billing.issuing", ISSUERS, KILLS, environment=database_environment)

    assert int(killed) >= KILLS / 2
    issued = Invoice.objects.select_related("series").prefetch_related("lines", "taxes")
    for document in issued.filter(pk__in=[draft.pk for draft in drafts_of_both_series]):
        refuse_unless_whole(document)
    sequences = {}
    for document in issued:
        sequences.setdefault(document.series, []).append(document.sequence)
    for series, numbers in sequences.items():
        assert sorted(numbers) == list(range(1, series.last_number + 1)), series
    # Invoices and credit notes, each of two years.
    assert len(sequences) == 4
    assert len({document.number for document in issued}) == len(issued)


@pytest.fixture
def hot_parts(committed_database):
    """Parts that every process uses, and for each process a job that takes twelve of them."""
    chosen = random.Random(20260302)
    tax = TaxCategoryFactory(en16931_code="Z")
    LabourRateFactory(tax_category=tax)
    FeeFactory(tax_category=tax)
    parts = [PartFactory(code=f"hot-{number}", tax_category=tax) for number in range(HOT_PARTS)]
    for part in parts:
        stock(part, 40, Decimal("1.37"))
    for _ in range(PROCESSES):
        remedy = RemedyFactory()
        for part in chosen.sample(parts, PARTS_OF_A_JOB):
            RemedyPartFactory(remedy=remedy, part=part, quantity=chosen.randint(1, 6))
        examination = ExaminationFactory(complaint="Hot")
        FindingFactory(examination=examination, note_midi=60, cause=CauseFactory(remedy=remedy))
    PlaceFactory(name="Van")
    return parts


def test_processes_on_hot_parts_neither_deadlock_nor_lose_an_update(
    hot_parts, database_environment
):
    said = run_program(
        "tests.billing.hot_parts", PROCESSES, ACTIONS, environment=database_environment
    )

    outcomes = Counter()
    received = Counter()
    for process in map(json.loads, said.splitlines()):
        outcomes.update(process["outcomes"])
        received.update(process["received"])
    assert sum(outcomes.values()) == PROCESSES * ACTIONS
    refusals = {"stock-short", "not-in-bag", "taken-beyond-wanted", "quote-not-open"}
    assert set(outcomes) <= {"done", *refusals}
    for part in hot_parts:
        supplied = Level.objects.get(part=part, place=outside(PlaceKind.SUPPLIER)).quantity
        assert -supplied == 40 + received[part.code]
    refuse_unless_conserved()
