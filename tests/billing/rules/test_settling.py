from decimal import Decimal

import pytest

from billing.rules.settling import Share, released, shared_in_order


def shares(*amounts):
    return [Share(key, Decimal(amount)) for key, amount in enumerate(amounts, start=1)]


@pytest.mark.parametrize(
    ("amount", "dues", "given"),
    [
        # Common practice: the oldest debt first.
        ("70", ["50", "30", "10"], [(1, 50), (2, 20)]),
        ("50", ["50", "30"], [(1, 50)]),
        ("100", ["50", "30"], [(1, 50), (2, 30)]),
        ("0", ["50"], []),
        ("5", [], []),
    ],
)
def test_what_comes_first_is_settled_first(amount, dues, given):
    found = shared_in_order(Decimal(amount), shares(*dues))
    assert [(share.row_id, share.amount) for share in found] == given


@pytest.mark.parametrize(
    ("amount", "settled", "keys", "kept"),
    [
        ("30", ["20", "40", "5"], (1, 2), 30),
        ("20", ["20", "40"], (1,), 0),
        ("60", ["20", "40"], (1, 2), 0),
        ("0", ["20"], (), 0),
    ],
)
def test_as_many_rows_are_taken_back_as_it_takes(amount, settled, keys, kept):
    found = released(Decimal(amount), shares(*settled))
    assert (found.reversed_ids, found.kept) == (keys, kept)


def test_no_more_is_set_free_than_was_settled():
    with pytest.raises(ValueError, match="Only 20 of 21"):
        released(Decimal(21), shares("20"))
