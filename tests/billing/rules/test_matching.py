from decimal import Decimal

import pytest

from billing.rules.matching import Debt, Receipt, proposals

# Source of the reference: python-stdnum's documentation of ISO 11649.
REFERENCE = "RF18 5390 0754 7034"


def debt(invoice_id, due="100", **values):
    given = {
        "client_id": 1,
        "number": f"2026-0000{invoice_id}",
        "reference": REFERENCE.replace(" ", "") if invoice_id == 1 else "",
        "names": ("Eel Pie Lane School", ""),
    }
    return Debt(invoice_id=invoice_id, due=Decimal(due), **given | values)


def receipt(amount="100", payer="", reference="", text=""):
    return Receipt(Decimal(amount), payer, reference, text)


def found(received, *debts):
    return [
        ([(share.row_id, share.amount) for share in each.shares], each.is_certain)
        for each in proposals(received, debts)
    ]


def test_the_reference_and_what_is_due_make_it_certain():
    received = receipt(reference=REFERENCE)
    assert found(received, debt(1), debt(2))[0] == ([(1, 100)], True)


@pytest.mark.parametrize(
    "received",
    [
        receipt("99.99", reference=REFERENCE),
        receipt("100.01", reference=REFERENCE),
        receipt(text=f"Invoice {REFERENCE}, thank you"),
        receipt(text="2026-00001"),
        receipt(payer="Eel Pie Lane School"),
    ],
    ids=["less", "more", "reference in the text", "number", "name and amount"],
)
def test_all_else_is_proposed_and_not_certain(received):
    best = found(received, debt(1))[0]
    assert best == ([(1, min(received.amount, 100))], False)


def test_another_number_that_begins_alike_is_not_named():
    assert found(receipt("7", text="2026-000012"), debt(1)) == []


def test_nothing_is_proposed_for_a_stranger():
    assert found(receipt("7", payer="Somebody", text="Gift"), debt(1), debt(2)) == []


@pytest.mark.parametrize(
    "payer",
    ["SCHOOL, EEL PIE LANE", "eel pie lane schol", "Eél Pie Lane School", "Eel Pie School"],
)
def test_a_name_is_known_turned_misspelt_and_accented(payer):
    best = proposals(receipt(payer=payer), [debt(2)])[0]
    assert best.reasons[-1] == "The payer's name is like the client's."


def test_a_name_that_has_some_words_in_common_is_not_alike():
    best = proposals(receipt(payer="Marsh Lane School"), [debt(2)])[0]
    assert best.reasons == ("The amount is what is due.",)


def test_what_is_named_together_is_proposed_together():
    received = receipt("150", text="2026-00002 and 2026-00003")
    best = found(received, debt(1), debt(2, "100"), debt(3, "50"))[0]
    assert best == ([(2, 100), (3, 50)], False)


def test_of_what_is_named_together_all_has_to_be_by_reference_to_be_certain():
    received = receipt("150", reference=REFERENCE, text="and 2026-00003")
    assert found(received, debt(1), debt(3, "50"))[0] == ([(1, 100), (3, 50)], False)


@pytest.mark.parametrize(
    ("text", "reasons"),
    [
        ("", ["The amount is what is due."]),
        ("2026-00002", ["The amount is what is due."]),
        (
            "2026-00002 2026-00003",
            ["The payer wrote the number or reference.", "The amount is what is due."],
        ),
    ],
    ids=["none", "one", "all"],
)
def test_all_that_a_client_owes_is_proposed_once_when_it_is_the_amount(text, reasons):
    proposed = proposals(receipt("150", text=text), [debt(2, "100"), debt(3, "50")])
    (both,) = [each for each in proposed if len(each.shares) == 2]
    assert [share.amount for share in both.shares] == [100, 50]
    assert (list(both.reasons), both.is_certain) == (reasons, False)


def test_debts_of_different_clients_are_not_put_together():
    both = found(receipt("200"), debt(2), debt(3, client_id=2))
    assert both == []


def test_the_likeliest_comes_first_with_its_reasons():
    received = receipt(payer="Eel Pie Lane School", reference=REFERENCE)
    best, second = proposals(received, [debt(2), debt(1)])
    assert (best.score, second.score) == (100, 40)
    assert best.reasons == (
        "The payer quoted the reference.",
        "The amount is what is due.",
        "The payer's name is like the client's.",
    )
