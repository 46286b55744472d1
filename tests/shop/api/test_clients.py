import pytest

from shop.models import Client, Instrument, Site
from tests.factories.shop import ClientFactory, InstrumentFactory, SiteFactory
from tests.shop.api.conftest import code_of, wrong

SCHOOL = {
    "kind": "organisation",
    "name": "Eel Pie Lane School",
    "contact_name": "The caretaker",
    "email": "caretaker@school.example",
    "phone": "01 234",
    "street": "1 Eel Pie Lane",
    "city": "Marsh End",
    "postcode": "ME1",
    "country": "GB",
    "language": "",
    "tax_number": "",
    "notes": "Ring twice.\nThe bell is slow.",
}


def test_a_client_is_added_read_changed_and_removed(office):
    made = office.post("clients", SCHOOL)
    assert made == {"id": Client.objects.get().pk, **SCHOOL}
    path = f"clients/{made['id']}"
    assert office.get(path) == made
    changed = office.change(path, {"name": "Eel Pie Lane Primary"})
    assert changed == {**made, "name": "Eel Pie Lane Primary"}
    assert Client.objects.get().name == "Eel Pie Lane Primary"
    office.remove(path)
    assert not Client.objects.exists()
    assert code_of(office.get(path, 404)) == "not-found"


def test_where_a_new_client_is_stands_in_the_header_location(office):
    response = office("POST", "clients", SCHOOL)
    assert office.get(response["Location"])["name"] == SCHOOL["name"]


@pytest.mark.parametrize(
    ("field", "value", "code"),
    [
        ("kind", "choir", "invalid-choice"),
        ("name", "", "blank"),
        ("name", None, "null"),
        ("name", 7, "invalid"),
        ("name", "x" * 201, "max-length"),
        ("name", "Eel\x00Pie", "character-not-allowed"),
        ("email", "the caretaker", "invalid"),
        ("notes", "bell\x00", "character-not-allowed"),
        ("phone", "01\t234", "control-or-line"),
        ("colour", "green", "unknown-member"),
    ],
)
def test_a_value_that_cannot_be_right_is_pointed_at_and_nothing_is_stored(
    office, field, value, code
):
    problem = office.post("clients", {**SCHOOL, field: value}, 400)
    assert wrong(problem) == [(f"/{field}", code)]
    assert not Client.objects.exists()


def test_a_change_needs_the_tag_of_what_was_read(office):
    path = f"clients/{ClientFactory().pk}"
    body = {"name": "Eel Pie Lane Primary"}
    assert office("PATCH", path, body).status_code == 428
    tag = office("GET", path)["ETag"]
    office.change(path, {"phone": "01 235"})
    assert office("PATCH", path, body, If_Match=tag).status_code == 412
    assert Client.objects.get().name != body["name"]


def test_a_client_with_sites_is_not_removed(office):
    site = SiteFactory()
    assert code_of(office.remove(f"clients/{site.client_id}", 409)) == "in-use"
    assert Client.objects.exists()


def test_clients_are_found_by_words_and_by_kind(technician):
    ClientFactory(name="Eel Pie Lane School", contact_name="Mx Otterbourne")
    ClientFactory(name="The Otter and Reed", kind="organisation")
    ClientFactory(name="Ada Quill", kind="person")

    def names(query):
        return [row["name"] for row in technician.get(f"clients?{query}")["items"]]

    assert names("search=otter") == ["Eel Pie Lane School", "The Otter and Reed"]
    assert names("kind=person") == ["Ada Quill"]
    assert names("order=-name")[0] == "The Otter and Reed"
    assert wrong(technician.get("clients?kind=choir", 400)) == [("kind", "invalid-choice")]
    assert wrong(technician.get("clients?colour=green", 400)) == [("colour", "unknown-parameter")]
    assert wrong(technician.get("clients?search=%00", 400)) == [
        ("search", "null-characters-not-allowed")
    ]


def test_clients_come_page_by_page_each_once(technician):
    for name in ("E", "B", "D", "A", "C"):
        ClientFactory(name=name)
    page = technician.get("clients?limit=2")
    seen = [row["name"] for row in page["items"]]
    while "next" in page:
        page = technician.get(page["next"])
        seen += [row["name"] for row in page["items"]]
    assert seen == ["A", "B", "C", "D", "E"]


def test_a_site_is_added_read_changed_and_removed(office):
    body = {
        "client": ClientFactory().pk,
        "name": "Practice room 2",
        "street": "Boiler Yard 1",
        "city": "Reedham",
        "postcode": "0001",
        "country": "AT",
        "region": "Burgenland",
        "access_notes": "",
        "travel_minutes": 35,
    }
    made = office.post("sites", body)
    assert made == {"id": Site.objects.get().pk, **body}
    path = f"sites/{made['id']}"
    assert office.change(path, {"travel_minutes": 40}) == {**made, "travel_minutes": 40}
    office.remove(path)
    assert not Site.objects.exists()


@pytest.mark.parametrize(
    ("field", "value", "code"),
    [
        ("client", 999, "does-not-exist"),
        ("client", 10**30, "number-too-large"),
        ("client", "Eel Pie", "incorrect-type"),
        ("country", "Austria", "invalid"),
        ("travel_minutes", -1, "min-value"),
        ("travel_minutes", 1441, "max-value"),
        ("travel_minutes", 10**40, "number-too-large"),
    ],
)
def test_a_site_with_a_value_that_cannot_be_right_is_refused(office, field, value, code):
    body = {"client": ClientFactory().pk, "name": "Practice room 2", field: value}
    assert wrong(office.post("sites", body, 400)) == [(f"/{field}", code)]
    assert not Site.objects.exists()


def test_sites_are_found_by_client(technician):
    site, _ = SiteFactory(), SiteFactory()
    found = technician.get(f"sites?client={site.client_id}")["items"]
    assert [row["id"] for row in found] == [site.pk]
    assert wrong(technician.get("sites?client=Eel", 400)) == [("client", "invalid")]


def test_a_site_with_instruments_is_not_removed(office):
    instrument = InstrumentFactory()
    assert code_of(office.remove(f"sites/{instrument.site_id}", 409)) == "in-use"
    assert Site.objects.exists()


def test_an_instrument_is_added_read_and_changed_by_a_technician(technician):
    body = {
        "site": SiteFactory().pk,
        "action": "grand",
        "maker": "Quillfeather & Daughters",
        "model": "No. 5",
        "serial_number": "QD40017",
        "built_year": 1911,
        "lowest_midi": 21,
        "highest_midi": 105,
        "breaks_midi": [53, 76],
        "key_covering": "celluloid",
        "key_wood": None,
        "action_wood": None,
        "notes": "",
    }
    made = technician.post("instruments", body)
    assert made == {"id": Instrument.objects.get().pk, **body}
    changed = technician.change(f"instruments/{made['id']}", {"built_year": None})
    assert changed == {**made, "built_year": None}


def test_an_instrument_has_88_notes_unless_told_otherwise(technician):
    body = {"site": SiteFactory().pk, "action": "upright", "maker": "Quillfeather & Daughters"}
    made = technician.post("instruments", body)
    # 88 keys are A0 to C8, MIDI 21 to 108 (MIDI 1.0; common practice).
    assert (made["lowest_midi"], made["highest_midi"]) == (21, 108)


@pytest.mark.parametrize(
    ("field", "value", "code"),
    [
        ("action", "harpsichord", "invalid-choice"),
        ("built_year", 1699, "min-value"),
        ("breaks_midi", [50, 53, 60, 70, 76, 90], "max-length"),
        ("highest_midi", 128, "max-value"),
        ("lowest_midi", "low", "invalid"),
        ("maker", "\x00", "character-not-allowed"),
        ("site", True, "incorrect-type"),
    ],
)
def test_an_instrument_with_a_value_that_cannot_be_right_is_refused(technician, field, value, code):
    body = {"site": SiteFactory().pk, "action": "grand", "maker": "Quillfeather", field: value}
    assert wrong(technician.post("instruments", body, 400)) == [(f"/{field}", code)]
    assert not Instrument.objects.exists()


def test_a_compass_upside_down_breaks_the_rule_of_the_schema(technician):
    path = f"instruments/{InstrumentFactory().pk}"
    problem = technician.change(path, {"lowest_midi": 60, "highest_midi": 50}, 409)
    assert code_of(problem) == "compass-impossible"
    assert Instrument.objects.get().lowest_midi == 21


def test_the_office_removes_an_instrument_and_a_technician_does_not(office, technician):
    path = f"instruments/{InstrumentFactory().pk}"
    assert code_of(technician.remove(path, 403)) == "forbidden"
    assert Instrument.objects.exists()
    office.remove(path)
    assert not Instrument.objects.exists()


def test_instruments_are_found_by_site_client_action_and_serial_number(technician):
    grand = InstrumentFactory(grand=True, serial_number="QD7")
    InstrumentFactory()
    for query in (
        f"site={grand.site_id}",
        f"client={grand.site.client_id}",
        "action=grand",
        "serial=qd7",
    ):
        found = technician.get(f"instruments?{query}")["items"]
        assert [row["id"] for row in found] == [grand.pk], query
