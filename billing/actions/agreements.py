"""Steps of an approval: which options the client takes, and what it all comes to then."""

from collections.abc import Collection, Mapping
from decimal import Decimal

from billing.actions.documents import Columns, columns, rows_totals, tax_row, totals_set
from billing.models import (
    BagLine,
    Quote,
    QuoteAgreement,
    QuoteAgreementTax,
    QuoteLine,
    QuoteOption,
    QuoteOptionPart,
)
from billing.rules.totals import TaxKey
from shop.actions.bags import bag_repack
from shop.actions.bulk import Rows, columns_of, rows_insert
from shop.actions.stock import Posted
from shop.errors import FieldError, Refused
from shop.models import ShopProfile
from shop.queries.words import words_for
from shop.rules.words import Words, said

LINE_COLUMNS = ["net_amount", "tax_code", "tax_percent"]
ALLOWANCE_COLUMNS = ["amount", "is_charge", "tax_code", "tax_percent"]


def options_chosen(
    options: Collection[QuoteOption], positions: Collection[int] | None
) -> list[QuoteOption]:
    """Return the options at these positions, or those taken by default where nothing is said.

    Raises:
        Refused: `option-unknown`.
    """
    if positions is None:
        return [option for option in options if option.is_default]
    known = {option.position for option in options}
    errors = tuple(
        FieldError(f"/options/{index}", "option-unknown", f"The quote has no option {position}.")
        for index, position in enumerate(positions)
        if position not in known
    )
    if errors:
        raise Refused("option-unknown", errors[0].detail, errors)
    return [option for option in options if option.position in positions]


def bag_wanted(quote: Quote, taken: Collection[QuoteOption]) -> dict[int, Decimal]:
    """Return what the job bag is to hold by part, with what the options taken need."""
    wanted = dict(quote.bag_lines.values_list("part", "wanted_quantity"))
    for row in QuoteOptionPart.objects.filter(option__in=taken):
        wanted[row.part_id] = wanted.get(row.part_id, Decimal(0)) + row.quantity
    return wanted


def agreement_store(quote: Quote, taken: Collection[QuoteOption]) -> None:
    """Store what the firm part and the options taken come to, as the client saw it."""
    profile = ShopProfile.objects.get()
    keys = {option.pk for option in taken}
    lines = [
        line
        for line in quote.lines.select_related("tax_category")
        if line.option_id is None or line.option_id in keys
    ]
    found = rows_totals(
        [columns(line, LINE_COLUMNS) for line in lines],
        [columns(row, ALLOWANCE_COLUMNS) for row in quote.allowances.all()],
        quote.minor_units,
        profile,
        quote.payable_total + sum(option.gross_total for option in taken),
    )
    agreement = QuoteAgreement(quote=quote, currency=quote.currency, minor_units=quote.minor_units)
    totals_set(agreement, found)
    row = Rows(QuoteAgreement, [columns_of(agreement)])
    reasons = _exemption_reasons(quote, lines, words_for(quote.client, profile))
    taxes: list[Columns] = [tax_row(tax, reasons) for tax in found.taxes]
    (key,), _ = rows_insert(row, Rows(QuoteAgreementTax, taxes, {"agreement_id": row}))
    QuoteOption.objects.filter(pk__in=keys).update(agreement=key)


def _exemption_reasons(
    quote: Quote, lines: Collection[QuoteLine], words: Words
) -> dict[TaxKey, str]:
    of_options = {
        TaxKey(line.tax_code, line.tax_percent): said(words, line.tax_category.exemption_reason)
        for line in lines
    }
    firm = {
        TaxKey(tax.tax_code, tax.tax_percent): tax.exemption_reason for tax in quote.taxes.all()
    }
    return of_options | firm


def bag_fill(quote: Quote, wanted: Mapping[int, Decimal], posted: Posted) -> None:
    """Put into the bag what is wanted, as far as stock goes; what it lacked before, too."""
    packed = bag_repack(
        bag=quote.bag,
        from_place=quote.from_place,
        back_to=quote.from_place,
        wanted=wanted,
        posted=posted,
    )
    rows_insert(packed.moves)
    there = {line.part_id: line for line in quote.bag_lines.all()}
    for part_id, line in there.items():
        line.wanted_quantity, line.taken_quantity = wanted[part_id], packed.taken[part_id]
    BagLine.objects.bulk_update(there.values(), ["wanted_quantity", "taken_quantity"])
    BagLine.objects.bulk_create(
        BagLine(
            quote=quote,
            part_id=part_id,
            wanted_quantity=quantity,
            taken_quantity=packed.taken[part_id],
        )
        for part_id, quantity in sorted(wanted.items())
        if part_id not in there
    )
