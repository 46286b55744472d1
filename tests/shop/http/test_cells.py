"""Cells that no spreadsheet runs, and that mean what they meant when they come back."""

import io
from types import SimpleNamespace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rest_framework import serializers

from shop.http.cells import cell, cell_read
from shop.http.csv_parsers import ExchangedCSVParser, StrictCSVParser
from shop.http.renderers import CSVRenderer
from shop.http.serializers import TextField

# Separators, quotes, line ends, what begins a formula, what is put before it, and others.
awkward = st.text(
    st.sampled_from("\"',;\t\r\n=+-@ 0.5eäßø½\u2028💡")
    | st.characters(exclude_categories=["Cs"], exclude_characters="\0")
)


class ExchangedInput(serializers.Serializer):
    code = TextField()
    name = TextField(allow_blank=True, required=False)
    number = TextField(allow_null=True, required=False)
    days = serializers.IntegerField(required=False)


VIEW = SimpleNamespace(
    input_class=lambda: ExchangedInput, output_fields=lambda: list(ExchangedInput().fields)
)


def read(text, parser=ExchangedCSVParser):
    return parser().parse(io.BytesIO(text.encode()), "text/csv", {"view": VIEW})


@given(
    st.lists(st.tuples(awkward.filter(bool), awkward, st.none() | awkward.filter(bool)), max_size=4)
)
@settings(max_examples=30, derandomize=True)
def test_what_was_written_is_read_as_it_was(rows):
    names = ("code", "name", "number")
    sent = [dict(zip(names, row, strict=True)) for row in rows]
    assert read(CSVRenderer().render(sent, renderer_context={"view": VIEW})) == sent


# What begins a formula: OWASP, "CSV Injection".
@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("=1+1", "'=1+1"),
        ("'=1+1", "''=1+1"),
        ("''@a", "'''@a"),
        ("-5", "-5"),
        ("'-5", "'-5"),
        ("'tis", "'tis"),
        ("'", "'"),
        ("5'", "5'"),
    ],
)
def test_an_apostrophe_is_put_before_formulas_alone_and_taken_off_again(text, written):
    assert cell(text) == written
    assert cell_read(written) == text


def test_an_empty_cell_empties_what_may_be_empty_and_says_nothing_of_the_rest():
    (row,) = read("code,name,number,days\na,,,\n")
    assert row == {"code": "a", "name": "", "number": None}
    (row,) = read("code,name,number,days\na,,,\n", StrictCSVParser)
    assert row == {"code": "a"}
