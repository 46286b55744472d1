"""What the shop charges on a given day."""

from collections.abc import Iterable
from datetime import date
from decimal import Decimal

from django.conf import settings
from django.db.models import Q

from billing.models import Fee, FeeKind, LabourRate
from billing.rules.pricing import FeePrice, PartPrice, PriceBook, Taxed
from billing.rules.totals import TaxKey, TaxRounding
from shop.errors import FieldError, Refused
from shop.models import Part, ShopProfile, StandardTaxCode, TaxCategory, TaxRate
from shop.rules.money import minor_units

UNREGISTERED = "The seller is not registered for tax."


class Taxes:
    """The taxes in force on `day`, read at once; a shop not registered for tax charges none."""

    def __init__(self, *, profile: ShopProfile, day: date) -> None:
        in_force = Q(valid_from__lte=day) & (Q(valid_until__isnull=True) | Q(valid_until__gt=day))
        self.day = day
        self.is_registered = profile.is_tax_registered
        self.percents = dict(TaxRate.objects.filter(in_force).values_list("category_id", "percent"))
        self.categories = {category.pk: category for category in TaxCategory.objects.all()}
        self.exemption_reasons: dict[TaxKey, str] = {}

    def taxed(self, amount: Decimal, category_id: int) -> Taxed:
        """Return `amount` with the tax of a category.

        Raises:
            Refused: `tax-rate-missing`, when a standard-rated category has no rate on that day.
        """
        category = self.categories[category_id]
        if not self.is_registered:
            return self._untaxed(amount, category, StandardTaxCode.NOT_SUBJECT, UNREGISTERED)
        if category.en16931_code != StandardTaxCode.STANDARD:
            reason = category.exemption_reason
            return self._untaxed(amount, category, category.en16931_code, reason)
        if category_id not in self.percents:
            raise Refused(
                "tax-rate-missing",
                f"The tax category {category.code} has no rate on {self.day}; the owner sets one.",
            )
        return Taxed(amount, category_id, TaxKey("S", self.percents[category_id]))

    def _untaxed(self, amount: Decimal, category: TaxCategory, code: str, reason: str) -> Taxed:
        key = TaxKey(code, Decimal(0))
        self.exemption_reasons.setdefault(key, reason)
        return Taxed(amount, category.pk, key)


def price_book_on(
    *,
    day: date,
    profile: ShopProfile,
    part_ids: Iterable[int],
    fee_kinds: Iterable[FeeKind],
    discount_percent: Decimal,
) -> PriceBook:
    """Return the prices on `day` of an hour, of the parts named and of the fees asked for.

    Raises:
        Refused: `labour-rate-missing` or `tax-rate-missing`.
    """
    rate = LabourRate.objects.filter(
        Q(valid_until__isnull=True) | Q(valid_until__gt=day), valid_from__lte=day
    ).first()
    if rate is None:
        raise Refused("labour-rate-missing", f"No labour rate holds on {day}; the owner sets one.")
    taxes = Taxes(profile=profile, day=day)
    fees = {
        fee.kind: FeePrice(fee.name, taxes.taxed(fee.amount, fee.tax_category_id))
        for fee in Fee.objects.order_by("id")
    }
    missing = [kind for kind in fee_kinds if kind not in fees]
    if missing:
        error = FieldError("/fees", "fee-unknown", f"No fee is kept for {', '.join(missing)}.")
        raise Refused("fee-unknown", "The price book has no such fee.", (error,))
    return PriceBook(
        decimals=minor_units(settings.CURRENCY),
        hour=taxes.taxed(rate.per_hour, rate.tax_category_id),
        parts=_part_prices(part_ids, taxes),
        exemption_reasons=taxes.exemption_reasons,
        fees=tuple(fees[kind] for kind in fee_kinds),
        minimum=fees.get(FeeKind.MINIMUM),
        discount_percent=discount_percent,
        tax_rounding=TaxRounding(profile.tax_rounding),
    )


def _part_prices(part_ids: Iterable[int], taxes: Taxes) -> dict[int, PartPrice]:
    parts = Part.objects.filter(pk__in=set(part_ids))
    return {
        part.pk: PartPrice(part.name, part.unit, taxes.taxed(part.price, part.tax_category_id))
        for part in parts
    }
