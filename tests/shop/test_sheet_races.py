"""What a sheet is set beside stays as it was read until the sheet is stored."""

from decimal import Decimal

from django.db import transaction

from shop.actions.count_entries import count_entries_apply
from shop.actions.offer_sheets import offer_sheet_apply
from shop.actions.opening_stock import opening_stock_apply
from shop.actions.part_sheets import part_sheet_apply
from shop.actions.sheets import SentRow, Sheet
from shop.actions.stock import Posted
from shop.http.database_problems import database_problem
from shop.models import Holding
from tests.factories.counting import CountSheetFactory
from tests.factories.purchasing import SupplierOfferFactory
from tests.factories.shop import PartFactory
from tests.factories.world import NOW, TODAY, main_shelf
from tests.refusals import kept_waiting


def on_trial(**values):
    return Sheet(1, [SentRow(0, values)], errors=(), explain=database_problem, is_trial=True)


def test_what_a_sheet_would_change_waits_for_it_and_the_stock_that_it_posts(committed_database):
    with transaction.atomic():
        part = PartFactory(code="shank", unit="piece")
        offer = SupplierOfferFactory(supplier__name="Felt", part=part)
        count = CountSheetFactory(place=main_shelf())
    pack = {"supplier": "Felt", "part": "shank", "pack_amount": 1, "pack_unit": "hundred"}
    there = {"part": "shank", "place": "Main shelf"}

    with transaction.atomic():
        part_sheet_apply(sheet=on_trial(code="shank", name="Renamed"), day=TODAY)
        with kept_waiting("owner"):
            part.save(using="owner")
    with transaction.atomic():
        offer_sheet_apply(sheet=on_trial(**pack, lead_time_days=3))
        with kept_waiting("owner"):
            offer.save(using="owner")
    with transaction.atomic():
        sheet = on_trial(**there, quantity=Decimal(1), unit_cost=Decimal(2))
        opening_stock_apply(sheet=sheet, posted=Posted(NOW, None))
        with kept_waiting("owner"):
            Holding.objects.using("owner").select_for_update().get(part=part)
    with transaction.atomic():
        count_entries_apply(sheet=on_trial(**there, counted_quantity=Decimal(1)))
        with kept_waiting("owner"):
            count.save(using="owner")
