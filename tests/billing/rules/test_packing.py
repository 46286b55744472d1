"""What is needed, loaded and short of a part: sums that stand written out in the table."""

from decimal import Decimal

import pytest

from billing.rules.packing import InBags, PackedPart


def part(bags, *, pins=0, in_van=0, on_shelf=0):
    return PackedPart(
        part_id=1,
        code="felt",
        name="Felt",
        unit="sheet",
        bags=InBags(*map(Decimal, bags)),
        pins=Decimal(pins),
        in_van=Decimal(in_van),
        on_shelf=Decimal(on_shelf),
    )


# Held in bags of approved and offered quotes, short in both; needed, to load and still short.
@pytest.mark.parametrize(
    ("bags", "elsewhere", "expected"),
    [
        # Full bags need nothing beside them, whatever there is.
        ((4, 2, 0, 0), {"in_van": 3, "on_shelf": 9}, (0, 0, 0)),
        # What both kinds lack is needed; what the van has is not loaded again.
        ((4, 0, 2, 3), {"in_van": 1, "on_shelf": 9}, (5, 4, 0)),
        ((4, 0, 2, 3), {"in_van": 8, "on_shelf": 9}, (5, 0, 0)),
        # The shelf gives what it has, the rest is short.
        ((4, 0, 2, 3), {"in_van": 1, "on_shelf": 3}, (5, 3, 1)),
        ((4, 0, 2, 3), {}, (5, 0, 5)),
        # Pins in the bags are pins that are there: 10 likely, 6 held.
        ((4, 2, 0, 0), {"pins": 10, "on_shelf": 9}, (4, 4, 0)),
        ((8, 4, 0, 0), {"pins": 10, "on_shelf": 9}, (0, 0, 0)),
        # Likely pins and those that the bags lack are the same pins: the larger counts.
        ((4, 2, 1, 2), {"pins": 10, "on_shelf": 9}, (4, 4, 0)),
        ((4, 2, 3, 4), {"pins": 10, "on_shelf": 9}, (7, 7, 0)),
    ],
)
def test_what_is_needed_is_loaded_as_far_as_the_shelf_goes(bags, elsewhere, expected):
    packed = part(bags, **elsewhere)

    assert (packed.needed, packed.to_load, packed.short) == expected
