"""Documents and money as entries of a double-entry journal."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum


class AccountRole(StrEnum):
    """What an account of the journal is for."""

    RECEIVABLES = "receivables"
    MONEY = "money"
    SALES = "sales"
    DEPOSITS = "deposits"
    OUTPUT_TAX = "output_tax"
    CLIENT_CREDIT = "client_credit"
    WRITE_OFFS = "write_offs"
    ROUNDING = "rounding"


@dataclass(frozen=True)
class Rate:
    """A tax: its code in EN 16931 (UNTDID 5305) and percent."""

    code: str
    percent: Decimal


@dataclass(frozen=True)
class Posting:
    """An amount on an account: a debit above nothing, a credit below.

    An account of money is that of one `method` of payment.
    """

    role: AccountRole
    amount: Decimal
    method: str = ""
    rate: Rate | None = None


@dataclass(frozen=True)
class Taxed:
    """What an invoice demands at one rate: without tax, of which as a deposit, and the tax."""

    rate: Rate
    net: Decimal
    deposits: Decimal
    tax: Decimal


def invoiced(taxed: Iterable[Taxed], rounding: Decimal) -> list[Posting]:
    """Return the postings of an issued invoice.

    What is demanded before the work, or deducted after it, is no sale: it is on deposits.
    """
    postings = [Posting(AccountRole.ROUNDING, -rounding)]
    for each in taxed:
        sales = each.net - each.deposits
        postings += [
            Posting(AccountRole.SALES, -sales, rate=each.rate),
            Posting(AccountRole.DEPOSITS, -each.deposits, rate=each.rate),
            Posting(AccountRole.OUTPUT_TAX, -each.tax, rate=each.rate),
        ]
    owed = -sum((posting.amount for posting in postings), Decimal(0))
    return [each for each in (Posting(AccountRole.RECEIVABLES, owed), *postings) if each.amount]


def credited(taxed: Iterable[Taxed], rounding: Decimal) -> list[Posting]:
    """Return the postings of an issued credit note, which are an invoice's turned round."""
    return [replace(each, amount=-each.amount) for each in invoiced(taxed, rounding)]


# The amount of a reversal is below nothing, which turns both sides round.


def received(amount: Decimal, method: str) -> list[Posting]:
    """Return the postings of a payment; until it is allocated it is the client's credit."""
    return [
        Posting(AccountRole.MONEY, amount, method),
        Posting(AccountRole.CLIENT_CREDIT, -amount),
    ]


def refunded(amount: Decimal, method: str) -> list[Posting]:
    """Return the postings of money that went back of a client's credit."""
    return received(-amount, method)


def allocated(amount: Decimal) -> list[Posting]:
    """Return the postings of credit that settles an invoice."""
    return [
        Posting(AccountRole.CLIENT_CREDIT, amount),
        Posting(AccountRole.RECEIVABLES, -amount),
    ]


def written_off(amount: Decimal) -> list[Posting]:
    """Return the postings of what nobody will pay; whether its tax comes back, the law says."""
    return [
        Posting(AccountRole.WRITE_OFFS, amount),
        Posting(AccountRole.RECEIVABLES, -amount),
    ]
