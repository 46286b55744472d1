"""The units that the trade buys in, and what a pack of them is in the unit that stock is kept in.

Everything is a Decimal or a Fraction, so that a conversion is exact and what does not fill a whole
stock unit is kept as a remainder.
"""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from shop.rules.quantities import plain


class Measure(StrEnum):
    """What a unit measures."""

    COUNT = "count"
    LENGTH = "length"
    AREA = "area"
    VOLUME = "volume"
    MASS = "mass"


@dataclass(frozen=True)
class TradeUnit:
    """A unit that goods are sold by: `factor` of the unit that stock of its measure is kept in.

    Those are piece (or sheet), metre, square metre, millilitre and gram.
    """

    label: str
    measure: Measure
    factor: Fraction


INCH_M = Fraction(254, 10_000)
FOOT_M = 12 * INCH_M
YARD_M = 3 * FOOT_M
POUND_G = Fraction("453.59237")
GALLON_US_ML = 231 * (100 * INCH_M) ** 3
GALLON_IMPERIAL_ML = Fraction("4546.09")

# Source: the inch, the pound and the US gallon of 231 cubic inches are defined exactly in NIST
# Handbook 44, appendix C, after the international yard and pound agreement of 1959; the imperial
# gallon in the Units of Measurement Regulations 1995 (UK), schedule; metric ones in the SI brochure
# (BIPM, 9th edition). Counts are common practice: twelve, twelve dozen, a hundred, a thousand.
UNITS = {
    "piece": TradeUnit("piece", Measure.COUNT, Fraction(1)),
    "dozen": TradeUnit("dozen", Measure.COUNT, Fraction(12)),
    "hundred": TradeUnit("hundred", Measure.COUNT, Fraction(100)),
    "gross": TradeUnit("gross", Measure.COUNT, Fraction(144)),
    "thousand": TradeUnit("thousand", Measure.COUNT, Fraction(1000)),
    "sheet": TradeUnit("sheet", Measure.COUNT, Fraction(1)),
    "millimetre": TradeUnit("mm", Measure.LENGTH, Fraction(1, 1000)),
    "centimetre": TradeUnit("cm", Measure.LENGTH, Fraction(1, 100)),
    "metre": TradeUnit("m", Measure.LENGTH, Fraction(1)),
    "inch": TradeUnit("in", Measure.LENGTH, INCH_M),
    "foot": TradeUnit("ft", Measure.LENGTH, FOOT_M),
    "yard": TradeUnit("yd", Measure.LENGTH, YARD_M),
    "square_centimetre": TradeUnit("cm²", Measure.AREA, Fraction(1, 10_000)),
    "square_metre": TradeUnit("m²", Measure.AREA, Fraction(1)),
    "square_inch": TradeUnit("in²", Measure.AREA, INCH_M**2),
    "square_foot": TradeUnit("ft²", Measure.AREA, FOOT_M**2),
    "square_yard": TradeUnit("yd²", Measure.AREA, YARD_M**2),
    "millilitre": TradeUnit("ml", Measure.VOLUME, Fraction(1)),
    "litre": TradeUnit("l", Measure.VOLUME, Fraction(1000)),
    "us_fluid_ounce": TradeUnit("US fl oz", Measure.VOLUME, GALLON_US_ML / 128),
    "us_pint": TradeUnit("US pt", Measure.VOLUME, GALLON_US_ML / 8),
    "us_quart": TradeUnit("US qt", Measure.VOLUME, GALLON_US_ML / 4),
    "us_gallon": TradeUnit("US gal", Measure.VOLUME, GALLON_US_ML),
    "imperial_fluid_ounce": TradeUnit("imp fl oz", Measure.VOLUME, GALLON_IMPERIAL_ML / 160),
    "imperial_pint": TradeUnit("imp pt", Measure.VOLUME, GALLON_IMPERIAL_ML / 8),
    "gram": TradeUnit("g", Measure.MASS, Fraction(1)),
    "kilogram": TradeUnit("kg", Measure.MASS, Fraction(1000)),
    "ounce": TradeUnit("oz", Measure.MASS, POUND_G / 16),
    "pound": TradeUnit("lb", Measure.MASS, POUND_G),
}
WHOLE = frozenset({"piece", "sheet"})
WEIGHTS = [name for name, unit in UNITS.items() if unit.measure == Measure.MASS]


class NotConvertible(ValueError):
    """A pack is nothing in the stock unit: `member` of the pack is what stands in the way."""

    def __init__(self, member: str, sentence: str) -> None:
        super().__init__(sentence)
        self.member = member


@dataclass(frozen=True)
class Pack:
    """A pack as its seller states it: `amount` of `unit`, a name in `UNITS`.

    A strip or sheet of cloth is so long as the amount says and `width_mm` wide. Of small parts sold
    by weight, one `weight_unit` holds `pieces_per_weight`, as stated.
    """

    amount: Decimal
    unit: str
    width_mm: Decimal | None = None
    pieces_per_weight: Decimal | None = None
    weight_unit: str = ""


@dataclass(frozen=True)
class StockUnit:
    """What a part is counted in, and of cloth kept in metres how wide its strips are."""

    name: str
    strip_width_mm: Decimal | None = None

    @property
    def step(self) -> Fraction:
        """The least quantity that the ledger knows: one piece or sheet, or a thousandth."""
        return Fraction(1) if self.name in WHOLE else Fraction(1, 1000)


def pack_contents(pack: Pack, stock_unit: StockUnit) -> Fraction:
    """Return how many stock units a pack holds, exactly.

    Raises:
        NotConvertible: its unit does not turn into the stock unit, or it holds less than a step.
    """
    contents = Fraction(pack.amount) * _units_each(pack, stock_unit)
    if contents < stock_unit.step:
        least = "one" if stock_unit.step == 1 else "0.001"
        raise NotConvertible("pack_amount", f"A pack holds at least {least} {stock_unit.name}.")
    return contents


def _units_each(pack: Pack, stock_unit: StockUnit) -> Fraction:
    """Return the stock units in one unit of the pack."""
    sold, kept = UNITS[pack.unit], UNITS[stock_unit.name]
    if pack.width_mm is not None:
        return sold.factor * _across(pack, stock_unit)
    if (pack.pieces_per_weight is not None) != (
        sold.measure == Measure.MASS and kept.measure == Measure.COUNT
    ):
        raise NotConvertible(
            "pieces_per_weight",
            "Pieces sold by weight need the count that a weight holds, and nothing else has one.",
        )
    if pack.pieces_per_weight is not None:
        if pack.weight_unit not in WEIGHTS:
            raise NotConvertible("weight_unit", "Say which weight holds so many pieces.")
        return sold.factor / UNITS[pack.weight_unit].factor * Fraction(pack.pieces_per_weight)
    if sold.measure != kept.measure:
        raise NotConvertible(
            "pack_unit", f"A pack of {sold.label} does not convert to {stock_unit.name}."
        )
    return sold.factor


def _across(pack: Pack, stock_unit: StockUnit) -> Fraction:
    """Return the stock units in a metre of cloth: its width, or the strips that it is cut into."""
    if UNITS[pack.unit].measure == Measure.LENGTH:
        if UNITS[stock_unit.name].measure == Measure.AREA:
            return Fraction(pack.width_mm or 0) / 1000
        if stock_unit.name == "metre" and stock_unit.strip_width_mm:
            strips = (pack.width_mm or 0) // stock_unit.strip_width_mm
            if strips:
                return Fraction(strips)
    raise NotConvertible(
        "width_mm",
        "Cloth sold by its length has a width, that of a strip of the part or more; "
        "nothing else has one.",
    )


def offcut_mm(pack: Pack, stock_unit: StockUnit) -> Decimal | None:
    """Return how wide the remainder is when a sheet is cut into the part's strips, if it is."""
    if pack.width_mm is None or stock_unit.strip_width_mm is None:
        return None
    return pack.width_mm % stock_unit.strip_width_mm


@dataclass(frozen=True)
class Split:
    """A quantity in whole steps of its stock unit, and what is left over of the exact one."""

    quantity: Decimal
    remainder: Fraction


def split(exact: Fraction, step: Fraction) -> Split:
    """Return the whole steps in an exact quantity, and the remainder."""
    steps = exact // step
    quantity = Decimal(steps) * step.numerator / step.denominator
    return Split(quantity, exact - steps * step)


def next_packs(contents: Fraction, packs_before: int, packs: int, step: Fraction) -> Split:
    """Return what `packs` bring to stock after `packs_before` of the same, in whole steps.

    The remainder of the packs before is counted in, so that packs which come one by one bring as
    much as they do together. The remainder that is then left is returned too.
    """
    before = split(packs_before * contents, step)
    after = split((packs_before + packs) * contents, step)
    return Split(after.quantity - before.quantity, after.remainder)


def pack_text(pack: Pack) -> str:
    """Return how a pack is named on paper: "250 g of 1700 pieces/lb", "1 yd, 1371.6 mm wide"."""
    text = f"{plain(pack.amount)} {UNITS[pack.unit].label}"
    if pack.width_mm is not None:
        return f"{text}, {plain(pack.width_mm)} mm wide"
    if pack.pieces_per_weight is not None:
        counted = f"{plain(pack.pieces_per_weight)} pieces/{UNITS[pack.weight_unit].label}"
        return f"{text} of {counted}"
    return text
