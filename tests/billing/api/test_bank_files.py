"""Files of banks: what is read in them, and which are refused."""

import json
from decimal import Decimal

import pytest

from billing.models import BankStatement, StatementEntry
from tests.billing.api.test_bank_statements import (
    REFERENCE,
    invoice,
    kept,
    paid_by_reference,
    sent,
)
from tests.billing.api.test_quotes import refused
from tests.billing.camt import ACCOUNT, document, entry, remittance, statement, told_by

__all__ = ["invoice"]

SHEET = (
    "booked_on,amount,entry_reference,payer_name,reference,text\n"
    f'2026-03-02,117.50,B1,Eel Pie Lane School,{REFERENCE},"Piano, hall"\n'
    "2026-03-02,-12.00,B2,,,Charges\n"
)
QUERY = f"?identifier=7&account={ACCOUNT}&currency=EUR&opening_balance=1000&closing_balance=1105.50"


def test_a_batch_is_taken_apart_where_the_bank_says_what_is_in_it(office):
    parts = [
        told_by("Eel Pie Lane School", remittance(REFERENCE), part="10.00"),
        told_by("Somebody else", remittance(text="Lessons"), part="20.00"),
    ]
    sent(office, document(statement(entry("30.00", *parts, reference="B9"), closing="1030.00")))
    rows = StatementEntry.objects.order_by("pk").values_list(
        "amount", "payer_name", "entry_reference", "reference", "text"
    )
    assert list(rows) == [
        (Decimal(10), "Eel Pie Lane School", "B9/1", REFERENCE, ""),
        (Decimal(20), "Somebody else", "B9/2", "", "Lessons"),
    ]


@pytest.mark.parametrize(
    "parts", [("10.00", "15.00"), ("10.00", "20.00", "")], ids=["too little", "one untold"]
)
def test_a_batch_of_which_the_bank_does_not_tell_all_is_kept_whole(office, parts):
    told = [told_by("Eel Pie Lane School", part=part) for part in parts]
    sent(office, document(statement(entry("30.00", *told, reference="B9"), closing="1030.00")))
    rows = StatementEntry.objects.values_list("amount", "entry_reference")
    assert list(rows) == [(Decimal(30), "B9")]


def test_of_money_that_went_out_the_payee_is_kept(office):
    told = told_by("The landlord").replace("Dbtr", "Cdtr")
    out = entry("12.00", told, sign="DBIT", reference="B2")
    sent(office, document(statement(out, closing="988.00")))
    row = StatementEntry.objects.get()
    assert (row.amount, row.payer_name) == (Decimal(-12), "The landlord")


def test_what_the_bank_says_of_an_entry_is_kept_where_the_payer_says_nothing(office):
    said = b"<AddtlNtryInf>Paid in at the counter</AddtlNtryInf></Ntry>"
    file = document(statement(entry("5.00", reference="B1"), closing="1005.00"))
    sent(office, file.replace(b"</Ntry>", said))
    assert StatementEntry.objects.get().text == "Paid in at the counter"


def test_a_statement_may_begin_with_what_the_one_before_closed_with(office):
    assert kept(sent(office, whole_file().replace(b"OPBD", b"PRCD"))) == [2, 0, 0]


def test_what_is_not_booked_yet_or_moves_nothing_does_not_count(office):
    pending = entry("5.00", reference="B1", status="PDNG")
    told = entry("0.00", reference="B2")
    assert kept(sent(office, document(statement(pending, told)))) == [0, 0, 0]


def whole_file():
    return document(statement(*paid_by_reference(), closing="1105.50"))


def declaring(entities, identifier=b"2026-042"):
    """Return the file after a document type, with another identifier."""
    body = whole_file().partition(b"?>")[2].replace(b"2026-042", identifier)
    return b'<?xml version="1.0"?><!DOCTYPE a [' + entities + b"]>" + body


# Each stands for ten of the one before; the last would be ten thousand million letters.
BOMB = b'<!ENTITY e0 "ten letter">' + b"".join(
    b'<!ENTITY e%d "%s">' % (each, b"&e%d;" % (each - 1) * 10) for each in range(1, 10)
)


@pytest.mark.parametrize(
    ("body", "said"),
    [
        (whole_file()[: len(whole_file()) // 2], "cannot be read to its end"),
        (whole_file()[:-20], "cannot be read to its end"),
        (document(statement(paid_by_reference()[0], closing="1105.50")), "is not whole"),
        (document(statement(paid_by_reference()[1], closing="1105.50")), "is not whole"),
        (document(statement(), last_page="false"), "goes on in another file"),
        (document(), "no statement"),
        (b"<a/>", "no camt.053"),
        (declaring(b'<!ENTITY b "1">'), "no camt.053"),
        (declaring(b'<!ENTITY b SYSTEM "file:///etc/hostname">', b"&b;"), "no camt.053"),
        (declaring(BOMB, b"&e9;"), "cannot be read to its end"),
        (whole_file().replace(b"117.50", b"sNaN"), "is no amount"),
        (whole_file().replace(b"1105.50", b""), "is no amount"),
        (whole_file().replace(b"117.50", b"117.5004"), "is no amount"),
        (whole_file().replace(b"DBIT", b"OUT"), "neither that it came in"),
        (whole_file().replace(b'Ccy="EUR"', b'Ccy="eur"'), "is not one currency"),
        (whole_file().replace(b'Ccy="EUR"', b""), "is not one currency"),
        (whole_file().replace(b'<Ntry><Amt Ccy="EUR"', b'<Ntry><Amt Ccy="USD"'), "EUR and USD"),
        (whole_file().replace(b"<Dt>2026-03-02<", b"<Dt>9026-03-02<"), "still to come"),
        (whole_file().replace(b"<Dt>2026-03-02</Dt></BookgDt>", b"</BookgDt>"), "is no day"),
        (whole_file().replace(b"OPBD", b"ITBD"), "no opening"),
        (whole_file().replace(b"<Id>2026-042</Id>", b""), "no identifier"),
    ],
    ids=[
        *(
            "half",
            "end cut",
            "charge lost",
            "payment lost",
            "page",
            "none",
            "other",
            "doctype",
            "outside",
            "bomb",
        ),
        *("amount", "no amount", "too fine", "sign", "currency", "no currency"),
        *("currencies", "to come", "day"),
        *("balance", "name"),
    ],
)
def test_a_file_that_has_lost_something_is_refused_and_nothing_is_stored(office, body, said):
    problem = refused(sent(office, body), 400, "statement-not-whole")
    assert said in problem["detail"]
    assert not BankStatement.objects.exists()


def test_a_file_that_says_more_than_can_be_kept_is_refused(office):
    beyond = whole_file().replace(b"2026-042", b"7" * 101)
    assert sent(office, beyond).status_code == 400
    assert not BankStatement.objects.exists()


def test_a_sheet_of_entries_is_kept_with_what_the_query_says(office, invoice):
    assert kept(sent(office, SHEET, "text/csv", QUERY)) == [2, 0, 0]
    rows = StatementEntry.objects.order_by("pk").values_list("amount", "text")
    assert list(rows) == [(Decimal("117.50"), "Piano, hall"), (Decimal(-12), "Charges")]
    refused(sent(office, SHEET, "text/csv", QUERY), 409, "statement-known")


@pytest.mark.parametrize(
    ("body", "query", "code"),
    [
        (SHEET[:-30], QUERY, "malformed-csv"),
        (SHEET.rpartition("2026")[0], QUERY, "statement-not-whole"),
        (SHEET, "?identifier=7", "invalid-query"),
        (SHEET.replace("2026-03-02", "9026-03-02"), QUERY, "statement-not-whole"),
        (SHEET.replace("117.50", "117,50"), QUERY, "malformed-csv"),
        (SHEET.replace("2026-03-02", "02.03.2026"), QUERY, "invalid-input"),
        (SHEET.replace("booked_on", "day"), QUERY, "malformed-csv"),
    ],
    ids=["cut", "row lost", "no balances", "to come", "comma", "date", "column"],
)
def test_a_sheet_that_has_lost_something_is_refused(office, body, query, code):
    refused(sent(office, body, "text/csv", query), 400, code)
    assert not BankStatement.objects.exists()


def test_json_says_the_same(office):
    body = {
        "identifier": "7",
        "account": ACCOUNT,
        "currency": "EUR",
        "opening_balance": "0",
        "closing_balance": "5",
        "entries": [{"booked_on": "2026-03-02", "amount": "5"}],
    }
    assert kept(sent(office, json.dumps(body), "application/json")) == [1, 0, 0]
