"""An issued invoice or credit note as XML: the Cross Industry Invoice of EN 16931.

Source: EN 16931-1 (the terms, BT and BG), CEN/TS 16931-3-3 (their place in UN/CEFACT CII D16B).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from xml.etree.ElementTree import Element, SubElement, indent, register_namespace, tostring

from shop.rules.quantities import plain

PROFILE = "urn:cen.eu:en16931:2017"
NAMESPACES = {
    "rsm": "urn:un:unece:uncefact:data:standard:CrossIndustryInvoice:100",
    "ram": "urn:un:unece:uncefact:data:standard:ReusableAggregateBusinessInformationEntity:100",
    "udt": "urn:un:unece:uncefact:data:standard:UnqualifiedDataType:100",
    "qdt": "urn:un:unece:uncefact:data:standard:QualifiedDataType:100",
}
for _prefix, _uri in NAMESPACES.items():
    register_namespace(_prefix, _uri)

DATE_FORMAT = "102"  # CCYYMMDD, of UNTDID 2379
CREDIT_TRANSFER = "30"  # of UNTDID 4461
NOT_DEFINED = "1"
NOT_SUBJECT = "O"
# Units of this program by UN/ECE Recommendation 20; what is counted otherwise is counted by one.
UNIT_CODES = {
    "hour": "HUR",
    "piece": "H87",
    "metre": "MTR",
    "square_metre": "MTK",
    "millilitre": "MLT",
    "gram": "GRM",
}
ONE = "C62"


@dataclass(frozen=True)
class Party:
    """A seller or buyer; `country` is an ISO 3166-1 code, `vat_number` starts with one."""

    name: str
    country: str
    street: str = ""
    city: str = ""
    postcode: str = ""
    email: str = ""
    vat_number: str = ""
    tax_number: str = ""


@dataclass(frozen=True)
class Tax:
    """The category of UNTDID 5305 and the percentage."""

    code: str
    percent: Decimal


@dataclass(frozen=True)
class Adjustment:
    """BG-20, BG-21 or BG-27: an allowance or charge on the document, or a line's discount."""

    is_charge: bool
    reason: str
    amount: Decimal
    tax: Tax
    percent: Decimal | None = None
    base: Decimal | None = None


@dataclass(frozen=True)
class Line:
    """BG-25. `unit_price` is before the line's discount, amounts are in the document's currency."""

    position: int
    description: str
    quantity: Decimal
    unit: str
    unit_price: Decimal
    net: Decimal
    tax: Tax
    discount: Adjustment | None = None


@dataclass(frozen=True)
class TaxSum:
    """BG-23: what one tax comes to."""

    tax: Tax
    taxable: Decimal
    amount: Decimal
    exemption_reason: str = ""


@dataclass(frozen=True)
class Document:
    """A document as it was issued; `type_code` is of UNTDID 1001.

    `totals` are by term: BT-106 to BT-110, BT-112, BT-114, BT-115. `corrects` is the number and day
    of the invoice that a credit note is about.
    """

    number: str
    type_code: str
    issued_on: date
    due_on: date
    currency: str
    seller: Party
    buyer: Party
    lines: tuple[Line, ...]
    adjustments: tuple[Adjustment, ...]
    taxes: tuple[TaxSum, ...]
    totals: Mapping[str, Decimal]
    reference: str = ""
    iban: str = ""
    terms: str = ""
    note: str = ""
    corrects: tuple[str, date] | None = None


def cross_industry_invoice(document: Document) -> bytes:
    """Return the XML of a document, the same bytes whenever it is asked for."""
    root = Element(_name("rsm:CrossIndustryInvoice"))
    context = _add(root, "rsm:ExchangedDocumentContext")
    _add(_add(context, "ram:GuidelineSpecifiedDocumentContextParameter"), "ram:ID", PROFILE)
    _head(root, document)
    trade = _add(root, "rsm:SupplyChainTradeTransaction")
    for line in document.lines:
        _line(trade, line)
    agreement = _add(trade, "ram:ApplicableHeaderTradeAgreement")
    _party(agreement, "ram:SellerTradeParty", document.seller)
    _party(agreement, "ram:BuyerTradeParty", document.buyer)
    _add(trade, "ram:ApplicableHeaderTradeDelivery")
    _settlement(trade, document)
    indent(root)
    xml: bytes = tostring(root, encoding="UTF-8", xml_declaration=True)
    return xml


def _name(prefixed: str) -> str:
    prefix, name = prefixed.split(":")
    return f"{{{NAMESPACES[prefix]}}}{name}"


def _add(parent: Element, prefixed: str, text: str | None = None, **attributes: str) -> Element:
    child = SubElement(parent, _name(prefixed), attributes)
    child.text = text
    return child


def _add_if(parent: Element, prefixed: str, text: str) -> None:
    if text:
        _add(parent, prefixed, text)


def _day(parent: Element, prefixed: str, day: date, holder: str = "udt:DateTimeString") -> None:
    _add(_add(parent, prefixed), holder, f"{day:%Y%m%d}", format=DATE_FORMAT)


def _money(amount: Decimal) -> str:
    return f"{amount:.2f}"


def _head(root: Element, document: Document) -> None:
    head = _add(root, "rsm:ExchangedDocument")
    _add(head, "ram:ID", document.number)
    _add(head, "ram:TypeCode", document.type_code)
    _day(head, "ram:IssueDateTime", document.issued_on)
    if document.note:
        _add(_add(head, "ram:IncludedNote"), "ram:Content", document.note)


def _party(agreement: Element, prefixed: str, party: Party) -> None:
    element = _add(agreement, prefixed)
    _add(element, "ram:Name", party.name)
    address = _add(element, "ram:PostalTradeAddress")
    _add_if(address, "ram:PostcodeCode", party.postcode)
    _add_if(address, "ram:LineOne", party.street)
    _add_if(address, "ram:CityName", party.city)
    _add(address, "ram:CountryID", party.country)
    if party.email:
        endpoint = _add(element, "ram:URIUniversalCommunication")
        _add(endpoint, "ram:URIID", party.email, schemeID="EM")
    for scheme, number in (("VA", party.vat_number), ("FC", party.tax_number)):
        if number:
            registration = _add(element, "ram:SpecifiedTaxRegistration")
            _add(registration, "ram:ID", number, schemeID=scheme)


def _tax(parent: Element, prefixed: str, tax: Tax) -> None:
    element = _add(parent, prefixed)
    _add(element, "ram:TypeCode", "VAT")
    _category(element, tax)


def _category(element: Element, tax: Tax) -> None:
    _add(element, "ram:CategoryCode", tax.code)
    if tax.code != NOT_SUBJECT:
        _add(element, "ram:RateApplicablePercent", plain(tax.percent))


def _line(trade: Element, line: Line) -> None:
    item = _add(trade, "ram:IncludedSupplyChainTradeLineItem")
    _add(_add(item, "ram:AssociatedDocumentLineDocument"), "ram:LineID", str(line.position))
    _add(_add(item, "ram:SpecifiedTradeProduct"), "ram:Name", line.description)
    price = _add(_add(item, "ram:SpecifiedLineTradeAgreement"), "ram:NetPriceProductTradePrice")
    _add(price, "ram:ChargeAmount", plain(line.unit_price))
    delivery = _add(item, "ram:SpecifiedLineTradeDelivery")
    unit = UNIT_CODES.get(line.unit, ONE)
    _add(delivery, "ram:BilledQuantity", plain(line.quantity), unitCode=unit)
    settlement = _add(item, "ram:SpecifiedLineTradeSettlement")
    _tax(settlement, "ram:ApplicableTradeTax", line.tax)
    if line.discount:
        _adjustment(settlement, line.discount)
    total = _add(settlement, "ram:SpecifiedTradeSettlementLineMonetarySummation")
    _add(total, "ram:LineTotalAmount", _money(line.net))


def _adjustment(parent: Element, row: Adjustment) -> Element:
    element = _add(parent, "ram:SpecifiedTradeAllowanceCharge")
    indicator = "true" if row.is_charge else "false"
    _add(_add(element, "ram:ChargeIndicator"), "udt:Indicator", indicator)
    if row.percent is not None and row.base is not None:
        _add(element, "ram:CalculationPercent", plain(row.percent))
        _add(element, "ram:BasisAmount", _money(row.base))
    _add(element, "ram:ActualAmount", _money(row.amount))
    _add(element, "ram:Reason", row.reason)
    return element


def _settlement(trade: Element, document: Document) -> None:
    settlement = _add(trade, "ram:ApplicableHeaderTradeSettlement")
    _add_if(settlement, "ram:PaymentReference", document.reference)
    _add(settlement, "ram:InvoiceCurrencyCode", document.currency)
    means = _add(settlement, "ram:SpecifiedTradeSettlementPaymentMeans")
    _add(means, "ram:TypeCode", CREDIT_TRANSFER if document.iban else NOT_DEFINED)
    if document.iban:
        account = _add(means, "ram:PayeePartyCreditorFinancialAccount")
        _add(account, "ram:IBANID", document.iban)
    for tax in document.taxes:
        _tax_sum(settlement, tax)
    for row in document.adjustments:
        element = _adjustment(settlement, row)
        _tax(element, "ram:CategoryTradeTax", row.tax)
    terms = _add(settlement, "ram:SpecifiedTradePaymentTerms")
    _add_if(terms, "ram:Description", document.terms)
    _day(terms, "ram:DueDateDateTime", document.due_on)
    _totals(settlement, document)
    if document.corrects:
        number, issued_on = document.corrects
        corrected = _add(settlement, "ram:InvoiceReferencedDocument")
        _add(corrected, "ram:IssuerAssignedID", number)
        _day(corrected, "ram:FormattedIssueDateTime", issued_on, "qdt:DateTimeString")


def _tax_sum(settlement: Element, row: TaxSum) -> None:
    element = _add(settlement, "ram:ApplicableTradeTax")
    _add(element, "ram:CalculatedAmount", _money(row.amount))
    _add(element, "ram:TypeCode", "VAT")
    _add_if(element, "ram:ExemptionReason", row.exemption_reason)
    _add(element, "ram:BasisAmount", _money(row.taxable))
    _category(element, row.tax)


def _totals(settlement: Element, document: Document) -> None:
    totals = document.totals
    element = _add(settlement, "ram:SpecifiedTradeSettlementHeaderMonetarySummation")
    _add(element, "ram:LineTotalAmount", _money(totals["BT-106"]))
    _add(element, "ram:ChargeTotalAmount", _money(totals["BT-108"]))
    _add(element, "ram:AllowanceTotalAmount", _money(totals["BT-107"]))
    _add(element, "ram:TaxBasisTotalAmount", _money(totals["BT-109"]))
    tax = _money(totals["BT-110"])
    _add(element, "ram:TaxTotalAmount", tax, currencyID=document.currency)
    _add(element, "ram:RoundingAmount", _money(totals["BT-114"]))
    _add(element, "ram:GrandTotalAmount", _money(totals["BT-112"]))
    _add(element, "ram:DuePayableAmount", _money(totals["BT-115"]))
