"""Which invoices a payment on a bank statement is for."""

import re
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from difflib import get_close_matches
from itertools import groupby

from billing.rules.settling import NOTHING, Share, shared_in_order

# Points of each sign: estimates, of which 100 are all that there can be. The reference tells most:
# it is made for this, and has check digits.
REFERENCE_POINTS, NAMED_POINTS, AMOUNT_POINTS, NAME_POINTS = 60, 45, 30, 10
ALIKE = 0.8
LEAST_POINTS = 30


@dataclass(frozen=True)
class Debt:
    """What is due on an issued invoice, and how a payer may name it."""

    invoice_id: int
    client_id: int
    number: str
    reference: str
    due: Decimal
    names: tuple[str, ...]


@dataclass(frozen=True)
class Receipt:
    """Money that came in, and what came with it."""

    amount: Decimal
    payer_name: str
    reference: str
    text: str


@dataclass(frozen=True)
class Proposal:
    """What the money may settle: shares by invoice of one client, how likely of 100, and why.

    It is certain when the structured reference is the invoice's own and the amount what is due.
    """

    client_id: int
    shares: tuple[Share, ...]
    score: int
    reasons: tuple[str, ...]
    is_certain: bool


def proposals(receipt: Receipt, debts: Iterable[Debt]) -> list[Proposal]:
    """Return what the money may be for, the likeliest first.

    Considered are each debt, all that the payer names together, and all debts of one client
    together where they come to the amount.
    """
    by_client = sorted(debts, key=lambda debt: (debt.client_id, debt.invoice_id))
    found = []
    for _, group in groupby(by_client, key=lambda debt: debt.client_id):
        of_client = list(group)
        found += [_proposal(receipt, chosen) for chosen in _chosen(receipt, of_client)]
    likely = [each for each in found if each.score >= LEAST_POINTS]
    return sorted(likely, key=lambda each: (-each.score, each.shares[0].row_id))


def _chosen(receipt: Receipt, debts: Sequence[Debt]) -> Iterator[list[Debt]]:
    for debt in debts:
        yield [debt]
    named = [debt for debt in debts if _how_named(receipt, debt)]
    if len(named) > 1:
        yield named
    if 1 < len(debts) != len(named) and _due(debts) == receipt.amount:
        yield list(debts)


def _proposal(receipt: Receipt, debts: Sequence[Debt]) -> Proposal:
    named = [_how_named(receipt, debt) for debt in debts]
    by_reference = all(how == "reference" for how in named)
    exact = _due(debts) == receipt.amount
    signs = [
        (REFERENCE_POINTS, by_reference, "The payer quoted the reference."),
        (NAMED_POINTS, all(named) and not by_reference, "The payer wrote the number or reference."),
        (AMOUNT_POINTS, exact, "The amount is what is due."),
        (NAME_POINTS, _is_named_alike(receipt, debts[0]), "The payer's name is like the client's."),
    ]
    holding = [(points, reason) for points, holds, reason in signs if holds]
    dues = [Share(debt.invoice_id, debt.due) for debt in debts]
    return Proposal(
        client_id=debts[0].client_id,
        shares=tuple(shared_in_order(receipt.amount, dues)),
        score=sum(points for points, _ in holding),
        reasons=tuple(reason for _, reason in holding),
        is_certain=by_reference and exact,
    )


def _due(debts: Iterable[Debt]) -> Decimal:
    return sum((debt.due for debt in debts), NOTHING)


def _how_named(receipt: Receipt, debt: Debt) -> str:
    """Return by what the payer named a debt: `reference`, `text`, or nothing."""
    reference = _letters(debt.reference)
    if reference and _letters(receipt.reference) == reference:
        return "reference"
    text = f"{receipt.reference} {receipt.text}"
    if _has_number(text, debt.number) or (reference and reference in _letters(text)):
        return "text"
    return ""


def _has_number(text: str, number: str) -> bool:
    # Looked for as it stands first: there may be more debts than patterns that are kept compiled.
    pattern = rf"(?<![0-9A-Za-z]){re.escape(number)}(?![0-9A-Za-z])"
    return number in text and bool(re.search(pattern, text))


def _letters(text: str) -> str:
    return re.sub(r"[^0-9A-Z]", "", text.upper())


def _is_named_alike(receipt: Receipt, debt: Debt) -> bool:
    payer = _words(receipt.payer_name)
    return bool(payer and get_close_matches(payer, map(_words, debt.names), n=1, cutoff=ALIKE))


def _words(name: str) -> str:
    """Return a name without accents, signs and order, as banks shorten and turn names."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    return " ".join(sorted(re.findall(r"[a-z0-9]+", plain)))
