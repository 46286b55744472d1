"""Stock papers at random, and what must hold after each of them."""

from collections import defaultdict
from datetime import timedelta
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise

import pytest
from django.db import connection, transaction
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from shop.actions.opening_stock import opening_stock_apply
from shop.actions.sheets import SentRow, Sheet
from shop.actions.stock import (
    Posted,
    ReceivedLine,
    goods_receive,
    stock_return,
    stock_scrap,
    stock_transfer,
)
from shop.errors import Refused
from shop.http.database_problems import database_problem
from shop.models import Holding, Level, Move, Place, PlaceKind
from shop.models.stock import HOLDING_KINDS
from shop.queries.stock_accounts import stock_accounts
from shop.rules.sheets import Fate
from tests.factories.billing import FeeFactory, LabourRateFactory
from tests.factories.diagnostics import (
    CauseFactory,
    ExaminationFactory,
    FindingFactory,
    RemedyFactory,
    RemedyPartFactory,
)
from tests.factories.purchasing import SupplierOfferFactory
from tests.factories.shop import (
    PartFactory,
    PlaceFactory,
    SupplierFactory,
    TaxCategoryFactory,
    UserFactory,
    VisitFactory,
)
from tests.factories.world import NOW, main_shelf
from tests.shop.ledger_model import LedgerModel
from tests.shop.weekly_sums import ledgers_own_sums, stored_sums

COST_CENTS = 120
# Before and after whatever a machine does.
LONG_BEFORE, LONG_AFTER = NOW - timedelta(days=4000), NOW + timedelta(days=4000)
# How much of each of three parts the remedies of three examinations take.
WANTED = [(2, 1, 0), (0, 3, 2), (5, 1, 1)]

quantities = st.integers(1, 6)
which = st.integers(0, 2)
some_days = st.integers(-15, 30)
side = st.sampled_from(["shelf", "van"])


class Shop:
    """The rows that all examples share."""

    def __init__(self):
        tax = TaxCategoryFactory(en16931_code="Z")
        LabourRateFactory(tax_category=tax)
        FeeFactory(tax_category=tax)
        self.technician = UserFactory()
        self.places = {"shelf": main_shelf(), "van": PlaceFactory()}
        self.outside = {place.kind: place.pk for place in Place.objects.exclude(kind="shelf")}
        cost = Decimal(COST_CENTS) / 100
        self.parts = [PartFactory(tax_category=tax, cost=cost) for _ in range(3)]
        self.supplier = SupplierFactory()
        self.offers = {
            (part.pk, contents): SupplierOfferFactory(
                supplier=self.supplier,
                part=part,
                contents_numerator=contents.numerator,
                contents_denominator=contents.denominator,
            )
            for part in self.parts
            for contents in (Fraction(5, 2), Fraction(3))
        }
        self.examinations = [self._examination(wanted) for wanted in WANTED]

    def _examination(self, wanted):
        self.remedy = RemedyFactory()
        for part, quantity in zip(self.parts, wanted, strict=True):
            if quantity:
                RemedyPartFactory(remedy=self.remedy, part=part, quantity=quantity)
        examination = ExaminationFactory(technician=self.technician)
        cause = CauseFactory(remedy=self.remedy)
        FindingFactory(examination=examination, note_midi=60, cause=cause)
        VisitFactory(site=examination.instrument.site)
        return examination


class StockMachine(RuleBasedStateMachine):
    """Each rule does the same to the program and to the model, refusals included."""

    shop: Shop

    def __init__(self):
        super().__init__()
        self.transaction = transaction.atomic()
        self.transaction.__enter__()
        self.model = LedgerModel(place.pk for place in self.shop.places.values())
        self.now = NOW
        self.opened = {}

    @initialize(quantity=quantities, cents=st.integers(0, 2000), from_sheet=st.booleans())
    def open_the_shop(self, quantity, cents, from_sheet):
        come_in = self.open_from_sheet if from_sheet else self.receive
        for number in range(len(self.shop.parts)):
            come_in("shelf", number, quantity, cents)

    @rule(first=some_days, then=st.integers(0, 120))
    def look_at_a_period(self, first, then):
        opened_at = NOW + timedelta(days=first)
        refuse_unless_tied_out(opened_at, opened_at + timedelta(days=then))

    def teardown(self):
        try:
            for opened_at, closed_at in pairwise(sorted([LONG_BEFORE, NOW, self.now, LONG_AFTER])):
                refuse_unless_tied_out(opened_at, closed_at)
        finally:
            transaction.set_rollback(True)
            self.transaction.__exit__(None, None, None)

    @property
    def posted(self):
        return Posted(self.now, self.shop.technician)

    @rule(days=some_days)
    def post_on_another_day(self, days):
        self.now += timedelta(days=days)

    def place(self, name):
        return self.shop.places[name].pk

    def refused(self, code, action, **arguments):
        with pytest.raises(Refused) as caught:
            action(**arguments)
        assert caught.value.code == code

    @rule(side=side, which=which, quantity=quantities, cents=st.integers(0, 2000))
    def receive(self, side, which, quantity, cents):
        part = self.shop.parts[which]
        line = ReceivedLine(part, Decimal(quantity), Decimal(cents) / 100)
        goods_receive(lines=[line], place=self.shop.places[side], posted=self.posted)
        source = self.shop.outside[PlaceKind.SUPPLIER]
        self.model.move(part.pk, source, self.place(side), quantity, quantity * cents)

    @rule(side=side, which=which, quantity=quantities, cents=st.integers(0, 2000))
    def open_from_sheet(self, side, which, quantity, cents):
        part, place = self.shop.parts[which], self.shop.places[side]
        row = {"part": part.code, "place": place.name, "quantity": Decimal(quantity)}
        rows = [SentRow(0, row | {"unit_cost": Decimal(cents) / 100})]
        sheet = Sheet(1, rows, errors=(), explain=database_problem, is_trial=False)
        said = (side, quantity, quantity * cents)
        if part.pk not in self.model.quantities:
            opening_stock_apply(sheet=sheet, posted=self.posted)
            source = self.shop.outside[PlaceKind.SUPPLIER]
            self.model.move(part.pk, source, place.pk, quantity, quantity * cents)
            self.opened[which] = said
        elif self.opened.get(which) == said:
            [outcome] = opening_stock_apply(sheet=sheet, posted=self.posted)
            assert outcome.fate == Fate.UNCHANGED
        else:
            self.refused("sheet-refused", opening_stock_apply, sheet=sheet, posted=self.posted)

    @rule(source=side, which=which, quantity=quantities)
    def transfer(self, source, which, quantity):
        target = "van" if source == "shelf" else "shelf"
        self._take(stock_transfer, source, which, quantity, self.place(target), target)

    @rule(source=side, which=which, quantity=quantities)
    def scrap(self, source, which, quantity):
        self._take(stock_scrap, source, which, quantity, self.shop.outside[PlaceKind.SCRAPPED])

    @rule(source=side, which=which, quantity=quantities)
    def send_back(self, source, which, quantity):
        self._take(stock_return, source, which, quantity, self.shop.outside[PlaceKind.SUPPLIER])

    def _take(self, action, source, which, quantity, target, to_place=None):
        part = self.shop.parts[which].pk
        arguments = {
            "quantities": {part: Decimal(quantity)},
            "from_place": self.shop.places[source],
            "posted": self.posted,
        }
        if to_place:
            arguments["to_place"] = self.shop.places[to_place]
        if self.model.levels[self.place(source), part] < quantity:
            self.refused("stock-short", action, **arguments)
        else:
            action(**arguments)
            self.model.move(part, self.place(source), target, quantity)

    @invariant()
    def the_commit_would_succeed(self):
        with connection.cursor() as cursor:
            cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")
            cursor.execute("SET CONSTRAINTS ALL DEFERRED")

    @invariant()
    def levels_and_holdings_are_what_the_model_and_the_moves_say(self):
        levels, holdings = stored_levels(), stored_holdings()
        assert (levels, holdings) == (self.model.nonzero_levels(), self.model.holdings())
        assert (levels, holdings) == sums_of_moves()
        totals = defaultdict(Decimal)
        for (_place, part), quantity in levels.items():
            totals[part] += quantity
        assert not any(totals.values())

    @invariant()
    def weeks_are_sums_of_the_moves(self):
        assert stored_sums() == ledgers_own_sums()

    @invariant()
    def no_place_holds_less_than_nothing(self):
        assert not Level.objects.filter(place__kind__in=HOLDING_KINDS, quantity__lt=0).exists()


def refuse_unless_tied_out(opened_at, closed_at):
    """What each part began a period with, and what came and went, is what it ended with."""
    for row in stock_accounts(opened_at=opened_at, closed_at=closed_at):
        account = row.account
        came = account.opening + account.received + account.counted
        assert came - account.returned - account.used - account.scrapped == account.closing


def stored_levels():
    rows = Level.objects.exclude(quantity=0).values_list("place", "part", "quantity")
    return {(place, part): quantity for place, part, quantity in rows}


def stored_holdings():
    rows = Holding.objects.exclude(quantity=0, value=0).values_list("part", "quantity", "value")
    return {part: (quantity, value) for part, quantity, value in rows}


def sums_of_moves():
    """Return levels and holdings by adding up the moves: what came in, less what went out."""
    levels, quantities, values = defaultdict(Decimal), defaultdict(Decimal), defaultdict(Decimal)
    rows = Move.objects.values_list(
        "part", "from_place", "to_place", "from_place__kind", "to_place__kind", "quantity", "value"
    )
    for part, source, target, source_kind, target_kind, quantity, value in rows:
        levels[source, part] -= quantity
        levels[target, part] += quantity
        direction = (target_kind in HOLDING_KINDS) - (source_kind in HOLDING_KINDS)
        quantities[part] += direction * quantity
        values[part] += direction * value
    holdings = {part: (quantities[part], values[part]) for part in quantities}
    return without_nothing(levels), without_nothing(holdings)


def without_nothing(sums):
    return {key: value for key, value in sums.items() if value not in (0, (0, 0))}
