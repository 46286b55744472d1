"""How a quote is wanted, and what is taken off and asked for beforehand."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from itertools import chain

from billing.models import FeeKind, LineKind
from billing.rules.allowances import Adjustment, percentage
from billing.rules.plans import PlanKind
from billing.rules.prices import LineKey
from billing.rules.pricing import PricedLine
from diagnostics.models import Remedy
from shop.errors import FieldError, Refused
from shop.models import Part, Place, ShopProfile


@dataclass(frozen=True)
class LineDiscount:
    """What is taken off the line of a remedy or part by its code, or of a fee by its kind."""

    kind: LineKind
    code: str
    off: Adjustment


@dataclass(frozen=True)
class OptionTerms:
    """Remedies by their codes that the client may take or leave together."""

    title: str
    remedies: tuple[str, ...]
    is_default: bool = False


@dataclass(frozen=True)
class QuoteTerms:
    """How a quote is wanted: which fees, what discounts, and what to do about what is missing.

    `discounts` are those of single lines, `discount` that of the firm part; `options` are left out
    of that. Validity, terms and deposit are the shop's own where nothing is said; a deposit of 0 %
    is none. `revise` makes the next version of the open quote, an `alternative` stands beside the
    one of the other plan; `require_stock` refuses when a part is short; `leave_out_undecided`
    quotes although some findings have no remedy yet. Treating the room first, by the remedy with
    the code `room_remedy` if it is given, leaves what the room may cure for a follow-up.
    """

    from_place: Place
    fees: tuple[FeeKind, ...] = (FeeKind.TRAVEL,)
    discounts: tuple[LineDiscount, ...] = ()
    discount: Adjustment | None = None
    options: tuple[OptionTerms, ...] = ()
    deposit_percent: Decimal | None = None
    deposit_amount: Decimal | None = None
    validity_days: int | None = None
    terms: str | None = None
    revise: bool = False
    alternative: bool = False
    require_stock: bool = False
    leave_out_undecided: bool = False
    plan: PlanKind = PlanKind.NOW
    room_remedy: str = ""


def discount_keys(terms: QuoteTerms) -> list[LineKey]:
    """Return which line each discount is on; one that there is not has the key -1."""
    remedies = _keys(Remedy, terms, LineKind.LABOUR)
    parts = _keys(Part, terms, LineKind.PART)
    fees = {str(fee): place for place, fee in enumerate(terms.fees)}
    keys = {LineKind.LABOUR: remedies, LineKind.PART: parts, LineKind.FEE: fees}
    return [(each.kind.value, keys[each.kind].get(each.code, -1)) for each in terms.discounts]


def _keys(model: type[Remedy] | type[Part], terms: QuoteTerms, kind: LineKind) -> dict[str, int]:
    codes = [each.code for each in terms.discounts if each.kind == kind]
    return dict(model.objects.filter(code__in=codes).values_list("code", "pk")) if codes else {}


def refuse_discounts(
    terms: QuoteTerms, keys: Iterable[LineKey], portions: list[list[PricedLine]]
) -> None:
    """Refuse discounts on nothing that is quoted, or of more than it comes to.

    Raises:
        Refused: `discount-of-nothing` or `allowance-beyond-lines`.
    """
    nets: dict[LineKey, Decimal] = {}
    for line in chain(*portions):
        nets[line.key] = min(line.net, nets.get(line.key, line.net))
    firm = sum(line.net for line in portions[0])
    errors = []
    for index, (key, discount) in enumerate(zip(keys, terms.discounts, strict=True)):
        pointer = f"/discounts/{index}"
        if key not in nets:
            detail = f"The quote has no {discount.kind.label.lower()} line of {discount.code}."
            errors.append(FieldError(pointer, "discount-of-nothing", detail))
        elif nets[key] < 0:
            detail = f"The discount is more than {discount.code} comes to."
            errors.append(FieldError(f"{pointer}/amount", "allowance-beyond-lines", detail))
    if terms.discount and (terms.discount.amount or 0) > firm:
        detail = "The discount is more than the lines come to."
        errors.append(FieldError("/discount/amount", "allowance-beyond-lines", detail))
    if errors:
        raise Refused(errors[0].code, errors[0].detail, tuple(errors))


def deposit_asked(
    terms: QuoteTerms, profile: ShopProfile, payable: Decimal, decimals: int
) -> tuple[Decimal | None, Decimal]:
    """Return what is asked for beforehand of what is to be paid: the percentage, and the amount.

    Raises:
        Refused: `deposit-beyond-rest`.
    """
    if terms.deposit_amount is None:
        percent = terms.deposit_percent
        percent = profile.deposit_percent if percent is None else percent
        return percent or None, percentage(payable, percent, decimals)
    if terms.deposit_amount > payable:
        detail = "A deposit is at most what is to be paid."
        error = FieldError("/deposit/amount", "deposit-beyond-rest", detail)
        raise Refused("deposit-beyond-rest", detail, (error,))
    return None, terms.deposit_amount
