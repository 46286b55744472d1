import io

import pytest
from pypdf import PdfReader

from shop.rules.labels import Label, Labelled, label_read, label_text
from tests.callers import caller_with
from tests.factories.shop import PartFactory, PlaceFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def technician():
    return caller_with("technician")


@pytest.fixture
def pin():
    return PartFactory(code="centre-pin-20", name="Centre pin 20")


def test_a_label_is_read_as_it_was_written():
    for label in (Label(Labelled.PART, "centre-pin-20"), Label(Labelled.PLACE, "17")):
        assert label_read(f" {label_text(label)}\r\n") == label


@pytest.mark.parametrize("text", ["", "part:", "part:a b", "place:x", "bag:1", "4006381333931"])
def test_what_is_no_label_is_refused(text):
    with pytest.raises(ValueError, match="no label"):
        label_read(text)


def test_a_sheet_has_each_label_as_often_as_it_was_asked_for(technician, pin):
    bag = PlaceFactory(bag=True, name="Job bag 7-1")
    path = f"/labels/part:{pin.code}/sheet"
    answer = technician.get(f"{path}?also=place:{bag.pk}&copies=2")
    assert answer["Content-Type"] == "application/pdf"
    text = "".join(page.extract_text() for page in PdfReader(io.BytesIO(answer.content)).pages)
    assert [text.count(words) for words in (pin.name, pin.code, bag.name)] == [2, 2, 2]


@pytest.mark.parametrize(
    ("query", "name"),
    [
        ("also=part:gold-leaf", "also"),
        ("also=4006381333931", "also"),
        ("copies=501", "copies"),
        ("copies=300&also=part:centre-pin-20", "copies"),
    ],
)
def test_a_label_of_nothing_is_not_printed(technician, pin, query, name):
    answer = technician.get(f"/labels/part:{pin.code}/sheet?{query}")
    assert answer.status_code == 400
    assert [error["parameter"] for error in answer.json()["errors"]] == [name]


def test_scanning_a_label_finds_what_it_stands_on(technician, pin):
    bag = PlaceFactory(bag=True, name="Job bag 7-1")
    part = technician.get(f"/labels/part:{pin.code}").json()
    assert (part["kind"], part["name"]) == ("part", pin.name)
    assert part["url"].endswith(f"/parts/{pin.code}")
    place = technician.get(f"/labels/place:{bag.pk}").json()
    assert (place["name"], place["details"]) == ("Job bag 7-1", "Job bag")


def test_scanning_what_is_no_label_or_of_nothing_finds_nothing(technician):
    for text in ("4006381333931", "part:gold-leaf", "place:0"):
        assert technician.get(f"/labels/{text}").status_code == 404
