"""Reading ISO 20022 camt.053: the statements of a bank in XML."""

import re
from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from decimal import Decimal
from typing import IO, Any, NoReturn

from lxml import etree
from rest_framework.parsers import BaseParser

from billing.rules.bank_statements import BankEntry, Statement
from shop.http.problems import RequestProblem

NAMESPACE = re.compile(r"\{urn:iso:std:iso:20022:tech:xsd:camt\.053\.001\.\d\d\}Document")
# Source: ISO 20022 external code set BalanceType: opening, previously closed, and closing booked.
OPENING, CLOSING = ("OPBD", "PRCD"), ("CLBD",)
# Source: XML Schema, decimal; camt.053 allows no sign, which CdtDbtInd says, and five decimals.
# Three are kept, so whatever lies beyond has to be nothing.
AMOUNT = re.compile(r"\d+(\.\d{0,3}0*)?|\.\d{1,3}0*", re.ASCII)
CURRENCY = re.compile("[A-Z]{3}")
# Source: ISO 20022, CreditDebitCode.
WAYS = {"CRDT": 1, "DBIT": -1}
LONGEST_TEXT = 140


class CamtParser(BaseParser):
    """Reads camt.053 of any version, with entities, document types and the network off."""

    media_type = "application/xml"

    def parse(  # type: ignore[override]  # a list is as good
        self,
        stream: IO[Any],
        media_type: str | None = None,  # noqa: ARG002 (REST framework passes it)
        parser_context: Mapping[str, Any] | None = None,  # noqa: ARG002
    ) -> list[Statement]:
        """Return the statements of the file.

        Raises:
            RequestProblem: `statement-not-whole`, it is cut or no camt.053.
        """
        try:
            parser = etree.XMLParser(resolve_entities=False, no_network=True, load_dtd=False)
            root = etree.fromstring(stream.read(), parser)
        except etree.XMLSyntaxError as error:
            _refuse(f"The XML cannot be read to its end: {error.msg}.")
        if root.getroottree().docinfo.doctype or not NAMESPACE.fullmatch(str(root.tag)):
            _refuse("This is no camt.053 of ISO 20022.")
        if any(_text(page, "LastPgInd") == "false" for page in _all(root, "MsgPgntn", "StmtPgntn")):
            _refuse("The statement goes on in another file; join its pages to one.")
        statements = [_statement(statement) for statement in _all(root, "Stmt")]
        return statements or _refuse("There is no statement in the file.")


def _refuse(sentence: str) -> NoReturn:
    raise RequestProblem("statement-not-whole", sentence)


def _all(parent: Any, *names: str) -> Iterator[Any]:
    """Yield the elements of these names below another, of whatever version of the standard."""
    return parent.iter(*(f"{{*}}{name}" for name in names))  # type: ignore[no-any-return]


def _at(parent: Any, path: str) -> Any:
    """Return the first element at a path of names."""
    return parent.find("/".join(f"{{*}}{name}" for name in path.split("/")))


def _text(parent: Any, *paths: str) -> str:
    """Return the text at the first of some paths that has any."""
    for path in paths:
        found = _at(parent, path)
        if found is not None and (text := " ".join((found.text or "").split())):
            return text
    return ""


def _children(parent: Any, path: str) -> list[Any]:
    found: list[Any] = parent.findall("/".join(f"{{*}}{name}" for name in path.split("/")))
    return found


def _amount(parent: Any, path: str = "Amt", directed: Any = None) -> Decimal:
    """Return an amount; `directed` is what says which way it went, where `parent` does not."""
    text = _text(parent, path)
    if not AMOUNT.fullmatch(text):
        _refuse(f"{text!r} is no amount.")
    way = _text(parent if directed is None else directed, "CdtDbtInd")
    if way not in WAYS:
        _refuse(f"{way!r} of the amount {text} says neither that it came in nor that it went out.")
    return Decimal(text) * WAYS[way]


def _currency(parents: Iterable[Any]) -> str:
    """Return the currency that all their amounts are in; those of two do not add up."""
    named = {each.get("Ccy", "") for parent in parents for each in _children(parent, "Amt")}
    text = " and ".join(sorted(named))
    return text if CURRENCY.fullmatch(text) else _refuse(f"{text!r} is not one currency.")


def _day(parent: Any, name: str) -> date:
    text = _text(parent, f"{name}/Dt", f"{name}/DtTm")[:10]
    try:
        return date.fromisoformat(text)
    except ValueError:
        _refuse(f"{text!r} is no day of an entry.")


def _statement(element: Any) -> Statement:
    identifier = _text(element, "Id")
    account = _text(element, "Acct/Id/IBAN", "Acct/Id/Othr/Id")
    if not (identifier and account):
        _refuse("A statement has no identifier or no account.")
    balances = {
        _text(each, "Tp/CdOrPrtry/Cd"): each for each in reversed(_children(element, "Bal"))
    }
    opening, closing = (
        next((balances[kind] for kind in kinds if kind in balances), None)
        for kinds in (OPENING, CLOSING)
    )
    if opening is None or closing is None:
        _refuse(f"Statement {identifier} has no opening or no closing balance.")
    booked = [each for each in _children(element, "Ntry") if _text(each, "Sts/Cd", "Sts") == "BOOK"]
    return Statement(
        identifier=identifier,
        account=account,
        opening_balance=_amount(opening),
        closing_balance=_amount(closing),
        currency=_currency([opening, closing, *booked]),
        # One over nothing only tells something (common practice of banks).
        entries=tuple(entry for each in booked for entry in _entries(each) if entry.amount),
    )


def _entries(entry: Any) -> Iterator[BankEntry]:
    """Yield an entry, or each transaction of a batch where these come to its amount."""
    details = _children(entry, "NtryDtls/TxDtls")
    parts = [part for each in details if (part := _part(entry, each)) is not None]
    amount, reference = _amount(entry), _text(entry, "AcctSvcrRef")
    if len(parts) < max(2, len(details)) or sum(parts, Decimal(0)) != amount:
        parts, details = [amount], details[:1] or [entry]
    for position, (part, about) in enumerate(zip(parts, details, strict=True), start=1):
        own = _text(about, "Refs/AcctSvcrRef")
        if not own and reference:
            own = reference if len(parts) == 1 else f"{reference}/{position}"
        yield BankEntry(
            booked_on=_day(entry, "BookgDt"),
            amount=part,
            entry_reference=(reference if len(parts) == 1 else "") or own,
            **_told(entry, about),
        )


def _part(entry: Any, detail: Any) -> Decimal | None:
    """Return the amount of one transaction of a batch, None when the bank does not say it."""
    path = "Amt" if _text(detail, "Amt") else "AmtDtls/TxAmt/Amt"
    if not _text(detail, path):
        return None
    return _amount(detail, path, detail if _text(detail, "CdtDbtInd") else entry)


def _told(entry: Any, about: Any) -> dict[str, str]:
    """Return what is told of the other side: of a payer when money came in, else of a payee."""
    other = "Cdtr" if _amount(entry) < 0 else "Dbtr"
    party = f"RltdPties/{other}"
    lines = [" ".join((line.text or "").split()) for line in _children(about, "RmtInf/Ustrd")]
    return {
        "payer_name": _text(about, f"{party}/Nm", f"{party}/Pty/Nm")[:LONGEST_TEXT],
        "payer_account": _text(about, f"{party}Acct/Id/IBAN", f"{party}Acct/Id/Othr/Id"),
        "reference": _text(about, "RmtInf/Strd/CdtrRefInf/Ref"),
        "text": " ".join(filter(None, lines)) or _text(entry, "AddtlNtryInf"),
    }
