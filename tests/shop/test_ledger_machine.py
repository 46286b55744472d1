"""Random sequences of everything that moves stock, against a plain model of the ledger."""

from collections import defaultdict
from dataclasses import dataclass, field
from datetime import timedelta
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import invariant, precondition, rule, run_state_machine_as_test

from billing.actions.job_bags import Given, quote_parts_give, quote_top_up
from billing.actions.packing import van_load
from billing.actions.quote_terms import QuoteTerms
from billing.actions.quotes import (
    quote_approve,
    quote_complete,
    quote_decline,
    quote_withdraw,
    quote_work_record,
    quotes_expire,
)
from billing.actions.quoting import quote_make
from billing.models import OPEN_STATUSES, BagLine
from billing.queries.trips import Trip
from diagnostics.actions.bench_work import BenchWorkDraft
from shop.models import PlaceKind
from tests.factories.world import FAR_DAY, NOW, TODAY
from tests.shop.buying_machine import BuyingMachine
from tests.shop.stock_machine import WANTED, Shop, side, which
from tests.shop.weekly_sums import done_jobs_shortages, stored_shortages

# What comes back when a job is done came back after its quote was made.
LATER = NOW + timedelta(hours=1)


@dataclass
class Job:
    """An open quote: what work was recorded under it, if any, and what that fitted."""

    quote: object
    is_approved: bool = False
    is_begun: bool = False
    fitted: dict = field(default_factory=lambda: defaultdict(int))


class LedgerMachine(BuyingMachine):
    """Quotes in every state, and the bags that they fill and empty, beside the stock papers."""

    def __init__(self):
        super().__init__()
        self.jobs = {}

    def job(self, data):
        return data.draw(st.sampled_from(sorted(self.jobs)))

    def _quote_make(self, which, side, **terms):
        return quote_make(
            examination=self.shop.examinations[which],
            terms=QuoteTerms(from_place=self.shop.places[side], **terms),
            made_at=NOW,
            made_on=TODAY,
            made_by=self.shop.technician,
        )

    def _fill(self, which, side, quote, *, is_approved):
        if is_approved:
            quote_approve(
                quote=quote, approved_by_name="The caretaker", decided_at=NOW, decided_on=TODAY
            )
        self.jobs[which] = Job(quote, is_approved)
        self.model.held_places.add(quote.bag_id)
        for part, wanted in zip(self.shop.parts, WANTED[which], strict=True):
            lacking = wanted - self.model.levels[quote.bag_id, part.pk]
            taken = min(lacking, self.model.levels[self.place(side), part.pk])
            self.model.move(part.pk, self.place(side), quote.bag_id, taken)

    def _empty(self, which):
        job = self.jobs.pop(which)
        bag, back = job.quote.bag_id, job.quote.from_place_id
        for part, quantity in job.fitted.items():
            self.model.move(part, bag, self.shop.outside[PlaceKind.USED], quantity)
        for part, quantity in self.model.at(bag).items():
            self.model.move(part, bag, back, quantity)

    @precondition(lambda self: self.jobs)
    @rule()
    def load(self):
        """Load the van for a visit to each piano: it gets what the bags lack and it has not."""
        trip = Trip(self.shop.places["van"], self.shop.places["shelf"], TODAY, TODAY)
        van_load(trip=trip, loaded_at=NOW, loaded_by=self.shop.technician)
        shelf, van = self.place("shelf"), self.place("van")
        for part in self.shop.parts:
            needed = sum(self.lacking(which, part) for which in self.jobs)
            missing = max(needed - self.model.levels[van, part.pk], 0)
            loaded = min(missing, self.model.levels[shelf, part.pk])
            self.model.move(part.pk, shelf, van, loaded)

    @rule(which=which, side=side, is_approved=st.booleans())
    def quote(self, which, side, is_approved):
        if which in self.jobs:
            self.refused("already-quoted", self._quote_make, which=which, side=side)
        else:
            quote = self._quote_make(which, side)
            self._fill(which, side, quote, is_approved=is_approved)

    @rule(which=which, side=side, is_approved=st.booleans())
    def revise(self, which, side, is_approved):
        if which in self.jobs and self.jobs[which].is_begun:
            self.refused("work-begun", self._quote_make, which=which, side=side, revise=True)
            return
        quote = self._quote_make(which, side, revise=True)
        self._fill(which, side, quote, is_approved=is_approved)

    @precondition(lambda self: self.jobs)
    @rule(data=st.data(), how=st.sampled_from(["withdraw", "decline", "expire"]))
    def close(self, data, how):
        getattr(self, f"_{how}")(self.job(data))

    def _withdraw(self, which):
        arguments = {"quote": self.jobs[which].quote, **self._decided()}
        if self.jobs[which].is_begun:
            self.refused("work-begun", quote_withdraw, **arguments)
        else:
            quote_withdraw(**arguments)
            self._empty(which)

    def _decline(self, which):
        job = self.jobs[which]
        arguments = {"quote": job.quote, "declined_by_name": "", **self._decided()}
        if job.is_approved:
            self.refused("quote-not-open", quote_decline, **arguments)
        else:
            quote_decline(**arguments)
            self._empty(which)

    def _decided(self):
        return {"reason": "", "decided_at": NOW, "decided_by": self.shop.technician}

    def _expire(self, _which):
        late = [number for number, job in self.jobs.items() if not job.is_approved]
        expired = quotes_expire(today=FAR_DAY, expired_at=NOW)
        assert {quote.pk for quote in expired} == {self.jobs[number].quote.pk for number in late}
        for number in late:
            self._empty(number)

    def lacking(self, which, part):
        wanted = dict(zip((part.pk for part in self.shop.parts), WANTED[which], strict=True))
        return wanted[part.pk] - self.model.levels[self.jobs[which].quote.bag_id, part.pk]

    @precondition(lambda self: self.jobs)
    @rule(data=st.data(), side=side, only=st.none() | which, require_stock=st.booleans())
    def top_up(self, data, side, only, require_stock):
        which = self.job(data)
        quote, place = self.jobs[which].quote, self.place(side)
        wanted = [part for part, each in zip(self.shop.parts, WANTED[which], strict=True) if each]
        parts = wanted if only is None else [wanted[only % len(wanted)]]
        got = {
            part.pk: min(self.lacking(which, part), self.model.levels[place, part.pk])
            for part in parts
        }
        arguments = {
            "quote": quote,
            "from_place": self.shop.places[side],
            "codes": [part.code for part in parts] if only is not None else (),
            "require_stock": require_stock,
            "topped_up_at": NOW,
            "topped_up_by": self.shop.technician,
        }
        if require_stock and any(got[part.pk] < self.lacking(which, part) for part in parts):
            self.refused("stock-short", quote_top_up, **arguments)
            return
        quote_top_up(**arguments)
        for part, quantity in got.items():
            self.model.move(part, place, quote.bag_id, quantity)

    @precondition(lambda self: len(self.jobs) > 1)
    @rule(data=st.data(), which=which, quantity=st.integers(1, 3))
    def give(self, data, which, quantity):
        giver, taker = data.draw(st.permutations(sorted(self.jobs)))[:2]
        part, source = self.shop.parts[which], self.jobs[giver]
        arguments = {
            "quote": source.quote,
            "to_quote": self.jobs[taker].quote,
            "given": [Given(part, Decimal(quantity))],
            "given_at": NOW,
            "given_by": self.shop.technician,
        }
        left = self.model.levels[source.quote.bag_id, part.pk] - source.fitted[part.pk]
        if quantity > left:
            self.refused("not-in-bag", quote_parts_give, **arguments)
        elif quantity > self.lacking(taker, part):
            self.refused("taken-beyond-wanted", quote_parts_give, **arguments)
        else:
            quote_parts_give(**arguments)
            self.model.move(part.pk, source.quote.bag_id, arguments["to_quote"].bag_id, quantity)

    @precondition(lambda self: any(job.is_approved for job in self.jobs.values()))
    @rule(data=st.data(), which=which, quantity=st.integers(0, 3))
    def work(self, data, which, quantity):
        approved = sorted(which for which, job in self.jobs.items() if job.is_approved)
        job = self.jobs[data.draw(st.sampled_from(approved))]
        part = self.shop.parts[which]
        draft = BenchWorkDraft(
            remedy=self.shop.remedy.code,
            note="60",
            naming="midi",
            minutes=Decimal(5),
            result="cured",
            fitted=((part.code, Decimal(quantity)),) if quantity else (),
        )
        work = {"quote": job.quote, "draft": draft, "done_at": NOW}
        left = self.model.levels[job.quote.bag_id, part.pk] - job.fitted[part.pk]
        if quantity > left:
            self.refused("not-in-bag", quote_work_record, done_by=self.shop.technician, **work)
        else:
            quote_work_record(done_by=self.shop.technician, **work)
            job.is_begun = True
            job.fitted[part.pk] += quantity

    @precondition(lambda self: any(job.is_approved for job in self.jobs.values()))
    @rule(data=st.data())
    def complete(self, data):
        approved = sorted(which for which, job in self.jobs.items() if job.is_approved)
        which = data.draw(st.sampled_from(approved))
        job = self.jobs[which]
        closing = {"completed_at": LATER, "completed_by": self.shop.technician}
        if job.is_begun:
            quote_complete(quote=job.quote, **closing)
            self._empty(which)
        else:
            self.refused("no-bench-work", quote_complete, quote=job.quote, **closing)

    @invariant()
    def lines_say_what_the_bags_of_open_quotes_hold(self):
        lines = BagLine.objects.filter(quote__status__in=OPEN_STATUSES)
        for bag, part, taken in lines.values_list("quote__bag", "part", "taken_quantity"):
            assert taken == self.model.levels[bag, part]

    @invariant()
    def what_done_jobs_went_without_is_counted(self):
        assert stored_shortages() == done_jobs_shortages()


def test_no_part_of_the_machine_hides_a_rule_of_another():
    parts = [each for each in LedgerMachine.__mro__ if each.__module__.startswith("tests.")]
    names = [name for each in parts for name in vars(each) if not name.startswith("__")]
    assert sorted(names) == sorted(set(names))


@pytest.mark.django_db
def test_stock_is_what_the_moves_and_a_plain_model_say_after_every_action():
    # One shop for all examples; what an example does in it is rolled back.
    machine = type("MachineInShop", (LedgerMachine,), {"shop": Shop()})
    run_state_machine_as_test(
        machine,
        settings=settings(
            max_examples=10,
            stateful_step_count=50,
            suppress_health_check=list(HealthCheck),
        ),
    )
