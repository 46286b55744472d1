"""The taxes that the shop charges on a given day, at a given place."""

from datetime import date
from decimal import Decimal

from django.db.models import Q

from billing.rules.prices import Taxed, net_price
from billing.rules.totals import TaxKey
from shop.errors import Refused
from shop.models import ShopProfile, Site, StandardTaxCode, TaxCategory, TaxRate
from shop.rules.tax_places import PlacedRate, TaxPlace, rates_at
from shop.rules.words import ENGLISH, Words, said

UNREGISTERED = "No tax is charged, since we are not registered for it."


def in_force(day: date) -> Q:
    """Return the condition of rows that hold on `day`, by their first day and that of the next."""
    return Q(valid_from__lte=day) & (Q(valid_until__isnull=True) | Q(valid_until__gt=day))


def place_of(site: Site, profile: ShopProfile) -> TaxPlace:
    """Return where work at `site` is taxed: in the shop's own country if the site names none."""
    return TaxPlace(site.country or profile.country, site.region)


class TaxTable:
    """The tax categories, and their rates in force on `day` at all places, read at once.

    Why a tax is none is said in `words`.
    """

    def __init__(self, *, profile: ShopProfile, day: date, words: Words = ENGLISH) -> None:
        self.day = day
        self.profile = profile
        self.words = words
        rates = TaxRate.objects.filter(in_force(day))
        columns = rates.values_list("category_id", "country", "region", "percent")
        self.rates = [
            PlacedRate(category, TaxPlace(country, region), percent)
            for category, country, region, percent in columns
        ]
        self.categories = {category.pk: category for category in TaxCategory.objects.all()}

    def at(self, place: TaxPlace) -> "Taxes":
        """Return the taxes of what is done at `place`."""
        return Taxes(self, place)


class Taxes:
    """The taxes in force at a place; a shop not registered for tax charges none."""

    def __init__(self, table: TaxTable, place: TaxPlace) -> None:
        self.table = table
        self.percents = rates_at(place, table.rates)
        self.exemption_reasons: dict[TaxKey, str] = {}

    def taxed(self, price: Decimal, category_id: int) -> Taxed:
        """Return a price as entered, less the tax it may include, with the tax of its category.

        Raises:
            Refused: `tax-rate-missing`, when a standard-rated category has no rate on that day.
        """
        key = self._key(self.table.categories[category_id])
        includes_tax = self.table.profile.prices_include_tax
        net = net_price(price, key.percent) if includes_tax else price
        return Taxed(net, category_id, key)

    def _key(self, category: TaxCategory) -> TaxKey:
        if not self.table.profile.is_tax_registered:
            return self._untaxed(StandardTaxCode.NOT_SUBJECT, UNREGISTERED)
        if category.en16931_code != StandardTaxCode.STANDARD:
            return self._untaxed(category.en16931_code, category.exemption_reason)
        if category.pk not in self.percents:
            raise Refused(
                "tax-rate-missing",
                f"The tax category {category.code} has no rate on {self.table.day} where the work"
                " is done; the owner sets one.",
            )
        return TaxKey("S", self.percents[category.pk])

    def _untaxed(self, code: str, reason: str) -> TaxKey:
        key = TaxKey(code, Decimal(0))
        self.exemption_reasons.setdefault(key, said(self.table.words, reason))
        return key
