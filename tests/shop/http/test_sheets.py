"""Strict CSV in: RFC 4180."""

import pytest

from shop.http.csv_parsers import MAX_CELL_CHARACTERS, MAX_ROWS
from shop.models import Client
from tests.shop.http.answers import problem

HEADER = "kind,name,amount\r\n"


def send(caller, text, media_type="text/csv"):
    body = text if isinstance(text, bytes) else text.encode()
    return caller("POST", "/clients/add", body, media_type)


def refusal(caller, text, media_type="text/csv"):
    document = problem(send(caller, text, media_type), 400, "malformed-csv")
    assert not Client.objects.exists()
    return document


@pytest.mark.parametrize(
    "text",
    [
        HEADER + "person,Ada,\r\nperson,Bo,1.50\r\n",
        "kind;name;amount\nperson;Ada;\nperson;Bo;1.50\n",
        "kind\tname\tamount\nperson\tAda\t\nperson\tBo\t1.50",
        "\ufeffname,kind\nAda,person\nBo,person\n",
        '"kind","name"\r\n"person","Ada"\r\nperson,"Bo"\r\n',
        " kind , name \nperson,Ada\n\nperson,Bo\n,\n",
    ],
)
def test_a_sheet_is_read_whatever_it_was_saved_by(owner, text):
    response = send(owner, text)

    assert response.status_code == 201, response.content
    assert [row["name"] for row in response.json()] == ["Ada", "Bo"]


def test_an_empty_cell_is_a_value_that_was_not_given(owner):
    send(owner, HEADER + "person,Ada,\r\nperson,Bo,1.50\r\n")

    given = Client.objects.order_by("name").values_list("phone", flat=True)  # the count of values
    assert list(given) == ["2", "3"]


def test_quoted_cells_hold_delimiters_quotes_and_line_breaks(owner):
    response = send(owner, HEADER + 'person,"Ada ""A"", of; here",\r\n')

    assert response.json()[0]["name"] == 'Ada "A", of; here'  # RFC 4180 section 2, 5 to 7


def test_errors_name_the_line_also_after_a_cell_of_several_lines(owner):
    text = HEADER + 'person,"Ada\nand\nBo",\r\nghost,Cy,x\r\n'

    response = send(owner, text)

    errors = problem(response, 400, "invalid-input")["errors"]
    assert [(each["pointer"], each["detail"].partition(":")[0]) for each in errors] == [
        ("/0/name", "Line 2"),
        ("/1/kind", "Line 5"),
        ("/1/amount", "Line 5"),
    ]


def test_errors_of_an_action_name_the_line(owner):
    response = send(owner, HEADER + "person,Ada,\r\nperson,nobody,\r\n")

    (error,) = problem(response, 400, "invalid-input")["errors"]
    assert error == {
        "pointer": "/1/name",
        "code": "name-silly",
        "detail": "Line 3: That is no name.",
    }


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("kind,name,colour\nperson,Ada,red\n", "unknown: 'colour'"),
        ("kind,name,name\nperson,Ada,Ada\n", "given twice: 'name'"),
        ("name\nAda\n", "missing: 'kind'"),
        ("person,Ada\n", "missing: 'kind', 'name'"),
        ("\n", "missing: 'kind', 'name'"),
        ("kind|name\nperson|Ada\n", "unknown: 'kind|name'"),
        (HEADER + 'person,"Ada\n', "Not CSV"),
        (HEADER + 'person,"Ada"x,\n', "Not CSV"),
        (HEADER + "person,A\0da,\n", "NUL"),
        ((HEADER + "person,Flügel,").encode("latin-1"), "line 2 holds the byte 0xFC"),
        ((HEADER + "person,Ada,").encode("utf-16"), "line 1 holds the byte 0xFF"),
        (HEADER + "person,Ada,\n" * (MAX_ROWS + 1), f"more than {MAX_ROWS} rows"),
    ],
)
def test_what_is_no_sheet_of_the_known_columns_is_refused(owner, text, told):
    assert told in refusal(owner, text)["detail"]


def test_every_row_of_another_width_is_named(owner):
    errors = refusal(owner, HEADER + "person,Ada\nperson,Bo,1\nperson,Cy,1,2\n")["errors"]

    assert [(each["pointer"], each["code"]) for each in errors] == [
        ("/0", "wrong-width"),
        ("/2", "wrong-width"),
    ]
    assert errors[1]["detail"].startswith("Line 4: 4 cells under 3 columns")


def test_a_cell_has_a_bound(owner):
    errors = refusal(owner, HEADER + f"person,{'x' * (MAX_CELL_CHARACTERS + 1)},\n")["errors"]

    assert errors[0]["code"] == "cell-too-long"


def test_another_encoding_in_the_content_type_is_refused(owner):
    document = refusal(owner, HEADER + "person,Ada,\n", "text/csv; charset=windows-1252")

    assert "windows-1252" in document["detail"]


def test_a_sheet_without_rows_is_refused(owner):
    response = send(owner, HEADER)

    assert problem(response, 400, "invalid-input")["errors"][0]["code"] == "row-count"


def test_a_sheet_is_not_taken_where_the_view_does_not_say_so(owner):
    response = owner("POST", "/suppliers", "name\nFelt\n", "text/csv")

    problem(response, 415, "unsupported-media-type")
