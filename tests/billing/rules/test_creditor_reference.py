import pytest
from hypothesis import given
from hypothesis import strategies as st
from stdnum.iso11649 import is_valid

from billing.rules.creditor_reference import creditor_reference


# Source: the example of ISO 11649 that banks' guides print, RF18 5390 0754 7034 (the check digits
# also by python-stdnum).
def test_a_published_reference_comes_out():
    assert creditor_reference("5390 0754 7034") == "RF18539007547034"


@given(st.text("ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789", min_size=1, max_size=21))
def test_every_reference_passes_the_check_of_a_general_library(text):
    assert is_valid(creditor_reference(text))


@pytest.mark.parametrize("text", ["", "--", "A" * 22])
def test_what_makes_no_reference_is_refused(text):
    with pytest.raises(ValueError, match="letters and digits"):
        creditor_reference(text)
