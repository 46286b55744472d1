import pytest

from shop.rules.catalogue import Fate, digest, fate_of


@pytest.mark.parametrize(
    ("shipped", "stored", "fate"),
    [("a", None, Fate.ADDED), ("a", "a", Fate.UNCHANGED), ("b", "a", Fate.UPDATED)],
)
def test_a_row_is_added_brought_up_to_date_or_left(shipped, stored, fate):
    assert fate_of(shipped, stored) == fate


def test_a_digest_does_not_depend_on_the_order_of_columns():
    assert digest({"a": 1, "b": ["x"]}) == digest({"b": ["x"], "a": 1})


def test_a_digest_differs_when_a_value_does():
    assert digest({"a": 1}) != digest({"a": "1"})


def test_a_digest_is_the_sha_256_of_canonical_json():
    # echo -n '{"a":"é"}' | sha256sum, GNU coreutils
    assert digest({"a": "é"}) == (
        "b3a092a6af48807fa9482b2ee140105575daa26d5b24b3c0e60a7e2dee6683b1"
    )
