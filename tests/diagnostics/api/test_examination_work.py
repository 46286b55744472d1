from decimal import Decimal

import pytest

from diagnostics.api.pin_examples import ESTIMATE, KIT
from shop.models import ShopProfile
from tests.diagnostics.api.conftest import wrong
from tests.factories.diagnostics import (
    BenchWorkFactory,
    ExaminationFactory,
    FindingFactory,
    FittedPartFactory,
    MeasurementFactory,
    PinShareFactory,
    RemedyFactory,
    SetUpFactory,
)
from tests.factories.shop import InstrumentFactory, PartFactory
from tests.factories.world import stock

SHARES = {"20": "0.35", "20.5": "0.30", "21": "0.20", "21.5": "0.15"}
DIAMETERS_UM = {"20": 1270, "20.5": 1295, "21": 1321, "21.5": 1346}


@pytest.fixture
def pins(db):
    """The pins that the shop keeps; of 21.5 it has none, though the catalogue expects it."""
    for label, share in SHARES.items():
        PinShareFactory(size_label=label, share=Decimal(share))
    return {label: pin(label, DIAMETERS_UM[label]) for label in ("20", "20.5", "21")}


def pin(label, diameter_um, scheme="inch"):
    return PartFactory(
        code=f"{scheme}-{label}",
        category="centre_pin",
        size_scheme=scheme,
        size_label=label,
        diameter_um=diameter_um,
    )


@pytest.fixture
def tight(upright_examined):
    """Twelve tight flanges of an upright, and behind the action the set-up."""
    set_up = SetUpFactory(
        code="action-out", depth=3, minutes_low=15, minutes_likely=20, minutes_high=25
    )
    repin = RemedyFactory(
        code="repin",
        set_up=set_up,
        pin_kit=True,
        minutes_low=3,
        minutes_likely=4,
        minutes_high=5,
    )
    for note in range(60, 72):
        FindingFactory(examination=upright_examined, note_midi=note, remedy=repin)
    return upright_examined


def fitted(part, quantity, **columns):
    work = BenchWorkFactory(**columns)
    stock(part, quantity, 1, place=work.bag)
    FittedPartFactory(bench_work=work, part=part, quantity=quantity)


def counts(answer):
    return {row["size"]: row["count"] for row in answer["sizes"]}


def test_a_kit_rests_on_the_catalogue_while_the_shop_has_no_history(technician, tight, pins):
    answer = technician.get(f"examinations/{tight.pk}/kit")
    # Found with scipy's beta-binomial: the smallest common quantile at which all four suffice.
    assert counts(answer) == {"20": 9, "20.5": 8, "21": 6, "21.5": 6}
    assert (answer["centres"], answer["confidence"], answer["action"]) == (12, "0.95", "upright")
    assert (answer["coverage"], answer["is_exact"]) == (0.9564, True)
    assert answer == KIT | {"examination": tight.pk}
    assert [row["weight_pins"] for row in answer["sizes"]] == ["7", "6", "4", "3"]
    assert (answer["prior_weight_pins"], answer["most_weight_pins"]) == (20, 60)
    assert "Mosimann" in answer["formula"]["source"]


def test_a_size_that_the_shop_does_not_keep_is_said(technician, tight, pins):
    answer = technician.get(f"examinations/{tight.pk}/kit")
    assert [row["part"] for row in answer["sizes"]] == ["inch-20", "inch-20.5", "inch-21", None]
    assert answer["not_stocked"] == ["21.5"]
    # At most the chance that none of 12 flanges needs 21.5: scipy's betabinom(12, 3, 17).pmf(0).
    assert answer["coverage_stocked"] <= 0.2154
    pin("21.5", DIAMETERS_UM["21.5"])
    answer = technician.get(f"examinations/{tight.pk}/kit")
    assert (answer["not_stocked"], answer["coverage_stocked"]) == ([], answer["coverage"])


def test_less_confidence_takes_fewer_pins(technician, tight, pins):
    answer = technician.get(f"examinations/{tight.pk}/kit?confidence=0.8")
    # As above, for 80 %.
    assert counts(answer) == {"20": 8, "20.5": 7, "21": 5, "21.5": 4}
    ShopProfile.objects.update(kit_confidence=Decimal("0.8"))
    assert technician.get(f"examinations/{tight.pk}/kit") == answer


@pytest.mark.parametrize("confidence", ["0.4", "1", "95", "sure", "NaN", ""])
def test_a_confidence_that_is_none_is_refused(technician, tight, pins, confidence):
    problem = technician.get(f"examinations/{tight.pk}/kit?confidence={confidence}", status=400)
    assert [parameter for parameter, _ in wrong(problem)] == ["confidence"]


def test_what_was_fitted_in_this_kind_of_action_moves_the_kit(technician, tight, pins):
    fitted(pins["20"], 10)
    fitted(pins["20"], 5)
    # A metric 20 is 1.25 mm, which is nearer to the inch 19 1/2 than to the inch 20.
    fitted(pin("20", 1250, "metric"), 2)
    grand = ExaminationFactory(instrument=InstrumentFactory(grand=True))
    fitted(pins["21"], 4, examination=grand)

    answer = technician.get(f"examinations/{tight.pk}/kit")

    rests_on = {row["size"]: (row["fitted"], row["weight_pins"]) for row in answer["sizes"]}
    # 20 pins in the catalogue's shares, and the pins fitted: by hand.
    assert rests_on == {
        "19.5": (2, "2"),
        "20": (15, "22"),
        "20.5": (0, "6"),
        "21": (0, "4"),
        "21.5": (0, "3"),
    }
    assert answer["sizes"][0]["share"] == "0"
    assert answer["sizes"][0]["count"] >= 1


def test_a_measured_pin_is_taken_as_itself(technician, tight, pins):
    # A 20 found (1270 µm): the next half size is 20 1/2.
    finding = tight.findings.get(note_midi=60)
    MeasurementFactory(finding=finding, quantity="pin_diameter_um", value=1270)
    answer = technician.get(f"examinations/{tight.pk}/kit")
    assert answer["known_pins"] == [{"part": "inch-20.5", "quantity": "1"}]
    assert answer["centres"] == 11


def test_without_tight_centres_there_is_nothing_to_take(technician, upright_examined, pins):
    answer = technician.get(f"examinations/{upright_examined.pk}/kit")
    assert (answer["centres"], set(counts(answer).values()), answer["coverage"]) == (0, {0}, 1)
    assert answer["not_stocked"] == []


def test_a_shop_that_knows_nothing_of_sizes_has_no_kit(technician, tight):
    answer = technician.get(f"examinations/{tight.pk}/kit")
    assert (answer["centres"], answer["sizes"], answer["coverage"]) == (12, [], 0)


@pytest.mark.parametrize("report", ["kit", "estimate"])
def test_the_work_of_no_examination_is_not_found(technician, nobody, tight, report):
    technician.get(f"examinations/987654/{report}", status=404)
    nobody.get(f"examinations/{tight.pk}/{report}", status=401)


def test_an_estimate_has_the_set_up_once_and_its_range(technician, tight):
    easing = RemedyFactory(
        code="ease",
        set_up=SetUpFactory(depth=1),
        minutes_low=1,
        minutes_likely=2,
        minutes_high=3,
    )
    FindingFactory(examination=tight, note_midi=60, remedy=easing)
    FindingFactory(examination=tight, note_midi=61)

    answer = technician.get(f"examinations/{tight.pk}/estimate")

    assert answer["set_up"]["code"] == "action-out"
    assert [(row["remedy"], row["times"]) for row in answer["remedies"]] == [
        ("ease", 1),
        ("repin", 12),
    ]
    # 20 + 2 + 48; variances (10/6)^2 + (2/6)^2 + (24/6)^2 = 18.89, deviation 4.346, 1.28155 of it
    # on each side (PERT). By hand.
    assert answer["expected_minutes"] == "70"
    assert (answer["low_minutes"], answer["high_minutes"]) == ("64.4", "75.6")
    assert answer["undecided_count"] == 1
    assert "Operations Research" in answer["formulas"][0]["source"]


def test_the_shops_minutes_stand_beside_the_catalogues_and_count_where_it_wants(technician, tight):
    repin = tight.findings.first().remedy
    BenchWorkFactory.create_batch(24, remedy=repin, minutes=8)
    # On the whole instrument: it tells nothing of one note.
    BenchWorkFactory(remedy=repin, minutes=400, note_midi=None)

    answer = technician.get(f"examinations/{tight.pk}/estimate")

    row = answer["remedies"][0]
    assert row["catalogue_minutes"] == {"low": "3", "likely": "4", "high": "5", "expected": "4"}
    assert row["own_minutes"] == {"times": 24, "mean": "8"}
    # (8 x 4 + 24 x 8) / 32 = 7, and the points in proportion. By hand.
    assert row["moved_minutes"] == {"low": "5.2", "likely": "7", "high": "8.8", "expected": "7"}
    assert (answer["expected_minutes"], answer["quotes_by_bench_work"]) == ("68", False)
    assert answer == ESTIMATE | {"examination": tight.pk}
    ShopProfile.objects.update(quotes_by_bench_work=True)
    answer = technician.get(f"examinations/{tight.pk}/estimate")
    assert (answer["expected_minutes"], answer["quotes_by_bench_work"]) == ("104", True)


def test_an_examination_without_work_takes_no_time(technician, upright_examined):
    answer = technician.get(f"examinations/{upright_examined.pk}/estimate")
    assert (answer["set_up"], answer["remedies"], answer["expected_minutes"]) == (None, [], "0")


@pytest.mark.parametrize("report", ["kit", "estimate"])
def test_a_report_of_work_costs_the_same_for_one_remedy_and_for_five(
    technician, upright_examined, pins, django_assert_max_num_queries, report
):
    for remedy in RemedyFactory.create_batch(5, pin_kit=True):
        BenchWorkFactory(remedy=remedy)
        FindingFactory(examination=upright_examined, remedy=remedy)
    with django_assert_max_num_queries(9):
        technician.get(f"examinations/{upright_examined.pk}/{report}")
