import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from diagnostics.models import Component, Remedy
from tests.diagnostics.api.conftest import wrong
from tests.factories import diagnostics as rows

NOUNS = {
    "causes": rows.CauseFactory,
    "cautions": rows.CautionFactory,
    "checks": rows.CheckFactory,
    "components": rows.ComponentFactory,
    "faults": rows.FaultFactory,
    "measured-ranges": rows.MeasuredRangeFactory,
    "remedies": rows.RemedyFactory,
    "set-ups": rows.SetUpFactory,
    "tools": rows.ToolFactory,
}


@pytest.mark.parametrize("noun", NOUNS)
def test_everyone_of_the_shop_reads_the_catalogue_by_code(technician, nobody, noun):
    NOUNS[noun](code="b-row", name="Second", provenance="published", source="A manual, page 7")
    NOUNS[noun](code="a-row", name="First")
    codes = [item["code"] for item in technician.get(noun)["items"]]
    assert codes.index("a-row") < codes.index("b-row")
    item = technician.get(f"{noun}/b-row")
    assert (item["name"], item["provenance"], item["source"]) == (
        "Second",
        "published",
        "A manual, page 7",
    )
    technician.get(f"{noun}/c-row", status=404)
    nobody.get(noun, status=401)


@pytest.mark.parametrize("noun", NOUNS)
def test_nobody_writes_the_catalogue(owner, noun):
    NOUNS[noun](code="a-row")
    assert owner("POST", noun, {"code": "x"}).status_code == 405
    assert owner("PATCH", f"{noun}/a-row", {"name": "x"}).status_code == 405
    assert owner("DELETE", f"{noun}/a-row").status_code == 405


@pytest.mark.parametrize("noun", sorted(NOUNS.keys() - {"cautions", "tools"}))
def test_the_catalogue_is_filtered_by_action(technician, noun):
    NOUNS[noun](code="a-strap", actions=["upright", "spinet"])
    NOUNS[noun](code="a-shank", actions=["grand"])

    def found(query):
        return {item["code"] for item in technician.get(f"{noun}?{query}")["items"]}

    assert "a-shank" in found("action=grand")
    assert "a-strap" not in found("action=grand")
    assert "a-strap" in found("action=spinet")
    problem = technician.get(f"{noun}?action=harpsichord", status=400)
    assert wrong(problem) == [("action", "invalid-choice")]


def test_the_catalogue_is_searched_by_code_and_name(technician, db):
    rows.ComponentFactory(code="hammer-butt", name="Butt")
    rows.ComponentFactory(code="h-2", name="Hammer rail")
    rows.ComponentFactory(code="jack", name="Jack 100% worn")

    def found(search):
        return [item["code"] for item in technician.get(f"components?search={search}")["items"]]

    assert found("HAMMER") == ["h-2", "hammer-butt"]
    assert found("0%25") == ["jack"]


def test_a_remedy_comes_with_what_it_takes(technician, db):
    remedy = rows.RemedyFactory(code="repin", pin_kit=True)
    need = rows.RemedyPartFactory(remedy=remedy, quantity="0.500")
    remedy.tools.add(rows.ToolFactory(code="reamers"))
    remedy.cautions.add(rows.CautionFactory(code="slide-out"))
    item = technician.get("remedies/repin")
    assert item["parts"] == [
        {"part": need.part.code, "name": need.part.name, "quantity": "0.5", "unit": "piece"}
    ]
    assert [tool["code"] for tool in item["tools"]] == ["reamers"]
    assert [caution["text"] for caution in item["cautions"]] == [
        "Block the keybed before the action slides out."
    ]
    assert item["set_up"]["code"] == remedy.set_up.code
    assert (item["minutes_likely"], item["takes_pin_kit"]) == ("4.0", True)


def test_getting_at_the_work_has_its_own_cautions(technician, db):
    remedy = rows.RemedyFactory(code="repin")
    remedy.set_up.cautions.add(rows.CautionFactory(code="slide-out"))
    path = f"set-ups/{remedy.set_up.code}"
    assert technician.get(path)["cautions"] == ["slide-out"]
    assert technician.get("remedies/repin")["set_up"]["cautions"] == ["slide-out"]


def test_a_check_says_whether_every_visit_starts_with_it(technician, db):
    rows.CheckFactory(code="global", starts_a_visit=True)
    rows.CheckFactory(code="drop")
    found = technician.get("checks")["items"]
    assert {check["code"]: check["starts_a_visit"] for check in found} == {
        "global": True,
        "drop": False,
    }


def test_a_cause_names_its_component_faults_checks_and_remedy(technician, db):
    cause = rows.CauseFactory(code="tight-centre")
    rows.CauseFactory(code="other")
    cause.faults.add(rows.FaultFactory(code="slow-return"), rows.FaultFactory(code="no-repeat"))
    cause.checks.add(rows.CheckFactory(code="lift-hammer"))
    item = technician.get("causes/tight-centre")
    assert item["component"] == cause.component.code
    assert sorted(each["fault"] for each in item["faults"]) == ["no-repeat", "slow-return"]
    assert [each["check"] for each in item["checks"]] == ["lift-hammer"]
    assert item["remedy"] == cause.remedy.code
    for query in (f"component={cause.component.code}", "fault=no-repeat", "search=tight-c"):
        assert [each["code"] for each in technician.get(f"causes?{query}")["items"]] == [
            "tight-centre"
        ]


@pytest.mark.parametrize("noun", NOUNS)
def test_a_list_takes_as_few_statements_for_five_as_for_one(technician, noun):
    def statements():
        with CaptureQueriesContext(connection) as captured:
            technician.get(noun)
        return len(captured)

    _full(NOUNS[noun]())
    few = statements()
    for _ in range(4):
        _full(NOUNS[noun]())
    assert statements() == few


def _full(row):
    if isinstance(row, Remedy):
        rows.RemedyPartFactory(remedy=row)
        row.tools.add(rows.ToolFactory())
        row.cautions.add(rows.CautionFactory())
    elif not isinstance(row, Component) and hasattr(row, "clearing_test"):
        row.faults.add(rows.FaultFactory())
        row.checks.add(rows.CheckFactory())


def test_ranges_are_filtered_by_quantity_and_component(technician):
    flange = rows.ComponentFactory(code="flange")
    rows.MeasuredRangeFactory(code="a-friction", friction=True, component=flange, judges=True)
    rows.MeasuredRangeFactory(code="a-weight", low=None)

    def found(query):
        return [item["code"] for item in technician.get(f"measured-ranges?{query}")["items"]]

    assert found("quantity=friction_g") == ["a-friction"]
    assert found("component=flange") == ["a-friction"]
    assert found("quantity=down_weight_g") == ["a-weight"]
    problem = technician.get("measured-ranges?quantity=colour", status=400)
    assert wrong(problem) == [("quantity", "invalid-choice")]
    item = technician.get("measured-ranges/a-friction")
    assert (item["low"], item["high"], item["radius_mm"]) == ("2", "5", "23")
    assert (item["component"], item["judges"]) == ("flange", True)
    open_below = technician.get("measured-ranges/a-weight")
    assert (open_below["low"], open_below["component"]) == (None, None)


def test_a_fault_names_its_family(technician):
    rows.FaultFactory(code="a-fault", family="tight")
    assert technician.get("faults/a-fault")["family"] == "tight"
