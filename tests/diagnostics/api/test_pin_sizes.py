import pytest

from diagnostics.api.pin_examples import SIZES, TRIAL
from shop.models import Part, ShopProfile
from tests.diagnostics.api.conftest import wrong
from tests.diagnostics.api.test_examination_work import DIAMETERS_UM, pin


@pytest.fixture
def kept(db):
    """The shop keeps the inch sizes 20 to 21 1/2."""
    for label, diameter_um in DIAMETERS_UM.items():
        pin(label, diameter_um)


def test_the_ladder_runs_over_both_schemes_and_shows_what_the_shop_keeps(technician, kept):
    items = technician.get("pin-sizes")["items"]
    assert len(items) == 26
    diameters = [item["size"]["diameter_um"] for item in items]
    assert diameters == sorted(diameters)
    # 20 1/2 by the inch scheme is 0.051 in (published: a technician's public page), its reamer one
    # full size above (common practice).
    assert {
        "size": {
            "scheme": "inch",
            "size": "20.5",
            "spoken": "20 1/2",
            "diameter_um": 1295,
            "reamer": "21 1/2",
        },
        "part": "inch-20.5",
    } in items
    assert all(item in items for item in SIZES["items"])
    assert [item["part"] for item in items if item["part"]] == [
        "inch-20",
        "inch-20.5",
        "inch-21",
        "inch-21.5",
    ]


def test_a_measured_pin_may_be_one_of_several_sizes(technician, kept):
    assert technician.get("pin-sizes")["could_be"] == []
    answer = technician.get("pin-sizes?measured_um=1283")
    assert (answer["measured_um"], answer["formulas"]) == (1283, SIZES["formulas"])
    # Between the inch sizes 20 (1270 µm) and 20 1/2 (1295 µm).
    assert [(size["scheme"], size["size"]) for size in answer["could_be"]] == [
        ("metric", "20.5"),
        ("inch", "20.5"),
        ("inch", "20"),
        ("metric", "21"),
    ]


@pytest.mark.parametrize("measured", ["499", "3001", "thick", "1283.5"])
def test_what_is_no_diameter_is_refused(technician, kept, measured):
    problem = technician.get(f"pin-sizes?measured_um={measured}", status=400)
    assert [parameter for parameter, _ in wrong(problem)] == ["measured_um"]


# Common practice: start at 20; too snug, go down; too loose, go up; firm is right.
@pytest.mark.parametrize(
    ("trials", "advice", "size"),
    [
        ("", "try", "20"),
        ("?trials=20:too_loose", "try", "20.5"),
        ("?trials=20:too_loose,20 1/2:firm", "fits", "20.5"),
        ("?trials=20:too_loose,20.5:too_snug", "ream", "20.5"),
        ("?trials=20:too_snug", "no_size_left", None),  # the shop keeps none thinner
        ("?trials=20:too_loose&scheme=metric", "try", "20"),  # 1250 µm: the inch 20 is next
    ],
)
def test_the_next_pin_to_try_is_one_that_the_shop_keeps(technician, kept, trials, advice, size):
    answer = technician.get(f"pin-trial{trials}".replace(" ", "%20"))
    assert answer["advice"] == advice
    assert (answer["size"] and answer["size"]["size"]) == size
    if trials == "?trials=20:too_loose":
        assert answer == TRIAL


def test_a_shop_without_pins_tries_along_the_ladder_of_its_scheme(technician, kept):
    Part.objects.update(is_active=False)
    ShopProfile.objects.update(pin_size_scheme="metric")
    answer = technician.get("pin-trial?trials=20:too_snug")
    assert (answer["size"]["scheme"], answer["size"]["size"]) == ("metric", "19.5")


@pytest.mark.parametrize(
    ("query", "parameter"),
    [
        ("trials=20", "trials"),
        ("trials=20:fine", "trials"),
        ("trials=thick:firm", "trials"),
        ("trials=20:firm,", "trials"),
        ("scheme=german", "scheme"),
        ("fit=firm", "fit"),
    ],
)
def test_what_is_no_trial_is_refused(technician, kept, query, parameter):
    problem = technician.get(f"pin-trial?{query}", status=400)
    assert [each for each, _ in wrong(problem)] == [parameter]


@pytest.mark.parametrize("path", ["pin-sizes", "pin-trial"])
def test_nobody_reads_the_sizes_without_a_token(nobody, db, path):
    nobody.get(path, status=401)
