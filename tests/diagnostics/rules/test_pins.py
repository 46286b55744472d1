import pytest

from diagnostics.rules.pins import (
    PinSize,
    Scheme,
    could_be,
    ladder,
    nearest_size,
    parse_size,
    pin_for_worn,
)

INCH, METRIC = Scheme.INCH, Scheme.METRIC
# Parts by a key, thinnest first, inch sizes 20 to 22.
STOCKED_UM = {1: 1270, 2: 1295, 3: 1321, 4: 1346, 5: 1372}


# Inch: thousandths of an inch are 10 + 2 N, so that 20 is 0.050 in (published: a technician's
# public page on repinning hammer flanges); 25.4 µm to the thousandth, rounded. Metric: 0.25 mm and
# 0.05 mm for each size, so that 20 is 1.25 mm (from memory).
@pytest.mark.parametrize(
    ("label", "inch_um", "metric_um"),
    [
        ("18", 1168, 1150),
        ("18.5", 1194, 1175),
        ("19", 1219, 1200),
        ("19.5", 1245, 1225),
        ("20", 1270, 1250),
        ("20.5", 1295, 1275),
        ("21", 1321, 1300),
        ("21.5", 1346, 1325),
        ("22", 1372, 1350),
        ("22.5", 1397, 1375),
        ("23", 1422, 1400),
        ("23.5", 1448, 1425),
        ("24", 1473, 1450),
    ],
)
def test_a_number_has_one_diameter_by_each_scheme(label, inch_um, metric_um):
    inch, metric = parse_size(label, INCH), parse_size(label, METRIC)
    assert (inch.diameter_um, metric.diameter_um) == (inch_um, metric_um)
    assert inch.label == metric.label == label
    assert nearest_size(inch_um, INCH) == inch
    assert nearest_size(metric_um, METRIC) == metric


@pytest.mark.parametrize("text", ["20 1/2", "20.5", "20.50", "20½", " 20 ½ "])
def test_a_half_size_is_read_as_it_is_written(text):
    size = parse_size(text, INCH)
    assert (size.label, size.spoken) == ("20.5", "20 1/2")


@pytest.mark.parametrize("text", ["", "20.25", "20 1/4", "twenty", "200", "-20", "20 1/2 mm", "²⁰"])
def test_what_is_no_size_is_refused(text):
    with pytest.raises(ValueError, match="no size"):
        parse_size(text, INCH)


def test_the_ladder_mixes_both_schemes_by_diameter():
    steps = ladder()
    diameters = [size.diameter_um for size in steps]
    assert diameters == sorted(diameters)
    assert len(steps) == 26
    # The inch 20 lies nearer to the metric 20 1/2 than to the metric 20: calculated by hand.
    at = steps.index(PinSize(40, INCH))
    assert steps[at - 1 : at + 2] == [PinSize(40, METRIC), PinSize(40, INCH), PinSize(41, METRIC)]
    assert [size.label for size in ladder([METRIC])][:3] == ["18", "18.5", "19"]


def test_a_measured_pin_may_be_any_size_within_half_a_size():
    # 1283 µm lies between the inch sizes 20 (1270) and 20 1/2 (1295), the metric 20 1/2 (1275) and
    # 21 (1300): a technician cannot tell which. Source: posts to a technicians' list, 2003, 2008.
    assert [(size.spoken, size.scheme) for size in could_be(1283)] == [
        ("20 1/2", "metric"),
        ("20 1/2", "inch"),
        ("20", "inch"),
        ("21", "metric"),
    ]
    assert could_be(2000) == []


def test_the_reamer_is_one_full_size_above_the_pin():
    # Common practice.
    assert parse_size("20 1/2", INCH).reamer.spoken == "21 1/2"


@pytest.mark.parametrize(
    ("measured_um", "part"),
    [
        (1270, 2),  # a 20 found: 20 1/2 next
        (1258, 2),  # a 20 worn by half a thousandth of an inch still is a 20
        (1283, 3),  # nearer to 1321 than to 1295 once a half size is added
        (2000, 5),  # thicker than all: the thickest
    ],
)
def test_the_next_pin_is_matched_by_diameter(measured_um, part):
    assert pin_for_worn(measured_um, INCH, STOCKED_UM) == part


def test_no_pin_stocked_is_an_error():
    with pytest.raises(ValueError, match="empty"):
        pin_for_worn(1270, INCH, {})
