from tests.factories.shop import InstrumentFactory, SiteFactory, WoodSpeciesFactory
from tests.shop.api.conftest import wrong


def test_a_wood_is_read_with_its_figures_and_where_they_come_from(technician):
    WoodSpeciesFactory(code="beech", name="Beech", provenance="published", source="A handbook")
    answer = technician.get("species/beech")
    assert answer == {
        "id": answer["id"],
        "code": "beech",
        "name": "Beech",
        "radial_coefficient": "0.00190",
        "tangential_coefficient": "0.00431",
        "radial_shrinkage_percent": "5.5",
        "tangential_shrinkage_percent": "11.9",
        "provenance": "published",
        "source": "A handbook",
    }
    technician.get("species/ebony", status=404)


def test_woods_are_listed_by_their_codes(technician):
    for code in ("maple", "beech", "lime"):
        WoodSpeciesFactory(code=code)
    listed = [item["code"] for item in technician.get("species")["items"]]
    assert listed == ["beech", "lime", "maple"]


def test_the_woods_of_a_piano_are_named_by_code_and_may_stay_unknown(technician):
    WoodSpeciesFactory(code="beech")
    piano = {"site": SiteFactory().pk, "action": "grand", "maker": "Quillfeather & Daughters"}
    made = technician.post("instruments", piano | {"action_wood": "beech"})
    assert (made["key_wood"], made["action_wood"]) == (None, "beech")
    path = f"instruments/{made['id']}"
    changed = technician.change(path, {"key_wood": "beech", "action_wood": None})
    assert (changed["key_wood"], changed["action_wood"]) == ("beech", None)


def test_a_wood_that_the_catalogue_does_not_have_is_refused(technician):
    path = f"instruments/{InstrumentFactory().pk}"
    problem = technician.change(path, {"key_wood": "unobtainium"}, status=400)
    assert wrong(problem) == [("/key_wood", "does-not-exist")]
