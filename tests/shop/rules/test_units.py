from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.models import Unit
from shop.rules.units import (
    UNITS,
    NotConvertible,
    Pack,
    StockUnit,
    next_packs,
    offcut_mm,
    pack_contents,
    pack_text,
    split,
)

PIECE, METRE, AREA = StockUnit("piece"), StockUnit("metre"), StockUnit("square_metre")
MILLILITRE, GRAM = StockUnit("millilitre"), StockUnit("gram")


def contents(stock_unit, amount, unit, **pack):
    return pack_contents(Pack(Decimal(amount), unit, **pack), stock_unit)


@pytest.mark.parametrize(
    ("unit", "stock_unit", "exact"),
    [
        # NIST Handbook 44 (2024), appendix C, tables of units: in bold there, so exact.
        ("inch", METRE, "0.0254"),
        ("foot", METRE, "0.3048"),
        ("yard", METRE, "0.9144"),
        ("square_inch", AREA, "0.00064516"),
        ("square_foot", AREA, "0.09290304"),
        ("square_yard", AREA, "0.83612736"),
        ("ounce", GRAM, "28.349523125"),
        ("pound", GRAM, "453.59237"),
        ("us_fluid_ounce", MILLILITRE, "29.5735295625"),
        ("us_pint", MILLILITRE, "473.176473"),
        ("us_quart", MILLILITRE, "946.352946"),
        ("us_gallon", MILLILITRE, "3785.411784"),
        # Units of Measurement Regulations 1995 (UK), schedule: gallon 4.54609 l, pint and ounce
        # an eighth and a hundred and sixtieth of it.
        ("imperial_fluid_ounce", MILLILITRE, "28.4130625"),
        ("imperial_pint", MILLILITRE, "568.26125"),
        # SI brochure, 9th edition, section 3.
        ("millimetre", METRE, "0.001"),
        ("centimetre", METRE, "0.01"),
        ("square_centimetre", AREA, "0.0001"),
        ("litre", MILLILITRE, "1000"),
        ("kilogram", GRAM, "1000"),
        # UN/ECE Recommendation 20: DZN, CEN, GRO, MIL.
        ("dozen", PIECE, "12"),
        ("hundred", PIECE, "100"),
        ("gross", PIECE, "144"),
        ("thousand", PIECE, "1000"),
    ],
)
def test_a_thousand_of_each_unit_are_what_is_published(unit, stock_unit, exact):
    assert contents(stock_unit, 1000, unit) == 1000 * Fraction(exact)


def test_every_unit_that_stock_is_kept_in_can_be_bought_as_it_is():
    assert {unit: contents(StockUnit(unit), 1, unit) for unit in Unit.values} == dict.fromkeys(
        Unit.values, 1
    )


def test_every_factor_is_exact():
    assert {type(unit.factor) for unit in UNITS.values()} == {Fraction}


@pytest.mark.parametrize(
    ("amount", "unit", "pieces", "weight_unit", "exact"),
    [
        # By hand: so many pieces to the pound, half a pound.
        ("0.5", "pound", "1700", "pound", Fraction(850)),
        # A kilogram of what has 1700 to the pound of 453.59237 g: 1000/453.59237 x 1700.
        ("1", "kilogram", "1700", "pound", Fraction(170_000_000_000, 45_359_237)),
        ("4", "ounce", "100", "ounce", Fraction(400)),
        ("250", "gram", "3.5", "gram", Fraction(875)),
    ],
)
def test_pins_sold_by_weight_are_counted_by_the_stated_count(
    amount, unit, pieces, weight_unit, exact
):
    pack = {"pieces_per_weight": Decimal(pieces), "weight_unit": weight_unit}
    assert contents(PIECE, amount, unit, **pack) == exact


def test_a_sheet_of_cloth_is_its_length_times_its_width():
    # By hand: 1 yd of 54 in is 0.9144 m x 1.3716 m.
    sheet = {"width_mm": Decimal("1371.6")}
    assert contents(AREA, 1, "yard", **sheet) == Fraction("0.9144") * Fraction("1.3716")


def test_a_sheet_is_cut_into_as_many_whole_strips_as_its_width_holds_and_an_offcut_is_left():
    strips = StockUnit("metre", Decimal(11))
    # By hand: 300 mm are 27 strips of 11 mm and 3 mm; each is half a metre long.
    pack = Pack(Decimal("0.5"), "metre", width_mm=Decimal(300))
    assert pack_contents(pack, strips) == Fraction("13.5")
    assert offcut_mm(pack, strips) == 3
    assert offcut_mm(pack, AREA) is None
    assert offcut_mm(Pack(Decimal(7), "metre"), strips) is None


@pytest.mark.parametrize(
    ("stock_unit", "amount", "unit", "pack", "member"),
    [
        (PIECE, 1, "metre", {}, "pack_unit"),
        (METRE, 1, "piece", {}, "pack_unit"),
        (AREA, 1, "metre", {}, "pack_unit"),
        (MILLILITRE, 1, "gram", {}, "pack_unit"),
        (GRAM, 1, "litre", {}, "pack_unit"),
        # By weight, without a count; with one where there is nothing to count.
        (PIECE, 1, "pound", {}, "pieces_per_weight"),
        (GRAM, 1, "pound", {"pieces_per_weight": Decimal(9)}, "pieces_per_weight"),
        (PIECE, 1, "hundred", {"pieces_per_weight": Decimal(9)}, "pieces_per_weight"),
        (PIECE, 1, "pound", {"pieces_per_weight": Decimal(9), "weight_unit": ""}, "weight_unit"),
        # A width that says nothing, and a sheet narrower than a strip.
        (PIECE, 1, "hundred", {"width_mm": Decimal(9)}, "width_mm"),
        (METRE, 1, "metre", {"width_mm": Decimal(9)}, "width_mm"),
        (AREA, 1, "square_metre", {"width_mm": Decimal(9)}, "width_mm"),
        (StockUnit("metre", Decimal(11)), 1, "metre", {"width_mm": Decimal("10.9")}, "width_mm"),
        # A pack of nothing, or of less than the ledger can hold.
        (PIECE, 0, "hundred", {}, "pack_amount"),
        (PIECE, "0.009", "hundred", {}, "pack_amount"),
        (METRE, "0.9", "millimetre", {}, "pack_amount"),
    ],
)
def test_a_pack_that_does_not_convert_says_by_what(stock_unit, amount, unit, pack, member):
    pack = {"weight_unit": "pound", **pack}
    with pytest.raises(NotConvertible) as caught:
        contents(stock_unit, amount, unit, **pack)
    assert caught.value.member == member


def test_what_fills_no_whole_step_is_the_remainder():
    # By hand: a kilogram at 1700 to the pound is 3747 pins and 0.858... of one.
    exact = Fraction(170_000_000_000, 45_359_237)
    whole = split(exact, PIECE.step)
    assert whole.quantity == 3747
    assert 0 < whole.remainder < 1
    assert Fraction(whole.quantity) + whole.remainder == exact
    assert split(Fraction("0.9144"), METRE.step).quantity == Decimal("0.914")
    assert split(Fraction("0.9144"), METRE.step).remainder == Fraction("0.0004")


def test_remainders_of_packs_before_are_counted_in():
    # By hand: one to five yards of 0.9144 m are 0.914, 1.828, 2.743, 3.657 and 4.572 m in all.
    yard = Fraction("0.9144")
    brought = [next_packs(yard, before, 1, METRE.step).quantity for before in range(5)]
    assert brought == [Decimal(each) for each in ("0.914", "0.914", "0.915", "0.914", "0.915")]
    assert next_packs(yard, 0, 5, METRE.step).remainder == 0


@given(
    contents=st.fractions(min_value=1, max_value=5000, max_denominator=10**9),
    deliveries=st.lists(st.integers(1, 40), min_size=1, max_size=8),
    step=st.sampled_from([PIECE.step, METRE.step]),
)
def test_packs_bring_as_much_one_by_one_as_together_and_nothing_is_lost(contents, deliveries, step):
    before, brought = 0, Decimal(0)
    for packs in deliveries:
        part = next_packs(contents, before, packs, step)
        brought += part.quantity
        before += packs
        assert Fraction(brought) + part.remainder == before * contents
        assert 0 <= part.remainder < step
    assert brought == next_packs(contents, 0, before, step).quantity


@pytest.mark.parametrize(
    ("pack", "text"),
    [
        (Pack(Decimal("1.000"), "thousand"), "1 thousand"),
        (Pack(Decimal("0.9144"), "metre", width_mm=Decimal("1371.60")), "0.9144 m, 1371.6 mm wide"),
        (
            Pack(Decimal(250), "gram", pieces_per_weight=Decimal(1700), weight_unit="pound"),
            "250 g of 1700 pieces/lb",
        ),
    ],
)
def test_a_pack_has_a_name_for_paper(pack, text):
    assert pack_text(pack) == text
