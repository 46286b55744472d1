import pytest

from shop.rules.addresses import town_line


@pytest.mark.parametrize(
    ("country", "line"),
    [
        # The order of DIN 5008 and of the Royal Mail's addresses, from memory.
        ("DE", "12345 Reedham"),
        ("GB", "Reedham 12345"),
        # Nobody said which.
        ("", "12345 Reedham"),
    ],
)
def test_the_postcode_stands_where_the_country_has_it(country, line):
    assert town_line("Reedham", "12345", country) == line


def test_what_is_missing_leaves_no_gap():
    assert town_line("Reedham", "", "GB") == town_line("", "Reedham", "DE") == "Reedham"
    assert town_line("", "", "DE") == ""
