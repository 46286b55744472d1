"""The same work by the program: the write of a quote alone, and the whole request."""

from decimal import Decimal

from django.db import transaction

from billing.actions.quote_portions import Portion
from billing.actions.quote_rows import quote_price, quote_store
from billing.actions.quoting import _bagged
from billing.models import Quote
from billing.rules.prices import PartPrice, PriceBook, Taxed
from billing.rules.pricing import PricedLine, offer_of
from billing.rules.totals import TaxKey
from diagnostics.models import ChargedPer
from diagnostics.rules.estimate import Minutes, PartNeed, RemedyUse, SetUp
from shop.models import Role
from tests.callers import caller_with
from tests.factories.billing import FeeFactory, LabourRateFactory
from tests.factories.diagnostics import (
    CauseFactory,
    ExaminationFactory,
    FaultFactory,
    FindingFactory,
    RemedyFactory,
    RemedyPartFactory,
)
from tests.factories.shop import InstrumentFactory, PartFactory, TaxCategoryFactory, TaxRateFactory
from tests.factories.world import FAR_DAY, NOW, main_shelf, stock

PLENTY = 1_000_000


class ShopQuotes:
    """A shop in which one finding takes one of each of so many parts."""

    def __init__(self, parts: int) -> None:
        self.tax_category = TaxCategoryFactory()
        TaxRateFactory(category=self.tax_category)
        LabourRateFactory(tax_category=self.tax_category)
        FeeFactory(tax_category=self.tax_category)
        self.shelf = main_shelf()
        self.parts = [PartFactory(tax_category=self.tax_category) for _ in range(parts)]
        remedy = RemedyFactory(charged_per=ChargedPer.NOTE)
        for part in self.parts:
            stock(part, PLENTY, Decimal("0.10"))
            RemedyPartFactory(remedy=remedy, part=part, quantity=1)
        self.finding = {"fault": FaultFactory(), "cause": CauseFactory(remedy=remedy)}
        self.caller = caller_with(Role.TECHNICIAN)
        self.instrument = InstrumentFactory()
        self.portion = self._portion()
        self.book, self.lines = self._priced()

    def _portion(self) -> Portion:
        needs = tuple(PartNeed(part.pk, Decimal(1)) for part in self.parts)
        set_up = SetUp("none", "None", 0, Minutes())
        return Portion([RemedyUse(1, "One of each", set_up, 1, 1, Minutes(), needs)], None)

    def _priced(self) -> tuple[PriceBook, list[PricedLine]]:
        price = Taxed(Decimal("2.50"), self.tax_category.pk, TaxKey("S", Decimal("17.5")))
        book = PriceBook(
            decimals=2,
            hour=price,
            parts={part.pk: PartPrice(part.name, part.unit, price) for part in self.parts},
        )
        one = {"quantity": Decimal(1), "unit": "piece", "price": price, "discount": Decimal(0)}
        lines = [
            PricedLine(
                "part",
                part.name,
                net=price.amount,
                key=("part", part.pk),
                part_id=part.pk,
                **one,
            )
            for part in self.parts
        ]
        return book, lines

    def examination(self):
        """Return an examination with one finding."""
        row = ExaminationFactory(instrument=self.instrument, technician=self.caller.user)
        FindingFactory(examination=row, note_midi=60, **self.finding)
        return row

    def store(self, examination) -> Quote:
        """Write a quote whose price is known already: its bag, moves, lines, taxes, bag lines."""
        wanted = {part.pk: Decimal(1) for part in self.parts}
        with transaction.atomic():
            quote = Quote(
                examination=examination,
                client=self.instrument.site.client,
                made_at=NOW,
                made_by=self.caller.user,
                valid_until=FAR_DAY,
                from_place=self.shelf,
                diagnosis={"findings": []},
            )
            name = f"Job bag {examination.pk}-1"
            packed = _bagged(quote, name, wanted, require_stock=False)
            offer = offer_of(self.lines, self.book)
            quote_price(quote, offer, self.book)
            quote_store(quote, [(self.portion, offer)], self.book, packed)
            return quote

    def post(self, examination) -> None:
        """Send the request that makes the quote."""
        response = self.caller.post(f"/examinations/{examination.pk}/quote")
        if response.status_code != 201:
            raise RuntimeError(response.content.decode())
