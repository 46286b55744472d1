"""Colours and patterns: apart for everyone, and on white."""

import itertools
from string import ascii_uppercase

import pytest

from diagnostics.rules.pictures.signs import (
    CHANGES,
    COLOURS,
    DARK_INK,
    DARK_PAPER,
    DARK_SOFT,
    INK,
    PAPER,
    PATTERNS,
    SOFT,
    fault_sign,
)

# Linear sRGB as those see it who lack one kind of cone, severity 1.0. Source: Machado, Oliveira,
# Fernandes, "A Physiologically-based Model for Simulation of Color Vision Deficiency", IEEE
# Transactions on Visualization and Computer Graphics 15 (2009), 1291.
SIGHTS = {
    "all cones": ((1, 0, 0), (0, 1, 0), (0, 0, 1)),
    "protanopia": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "deuteranopia": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
    "tritanopia": (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.303900),
    ),
}
# sRGB (D65) to XYZ, and its white. Source: IEC 61966-2-1.
XYZ = ((0.4124, 0.3576, 0.1805), (0.2126, 0.7152, 0.0722), (0.0193, 0.1192, 0.9505))
WHITE = (0.9505, 1.0, 1.089)


def linear(colour):
    """Return linear sRGB. Source: WCAG 2.2, definition of relative luminance."""
    values = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    return [v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4 for v in values]


def product(matrix, vector):
    return [sum(a * b for a, b in zip(row, vector, strict=True)) for row in matrix]


def contrast(one, other):
    """Return the contrast ratio. Source: WCAG 2.2, definition of contrast ratio."""
    low, high = sorted(product(XYZ, linear(each))[1] for each in (one, other))
    return (high + 0.05) / (low + 0.05)


def lab(colour, sight):
    """Return CIE L*a*b* of a colour as it is seen. Source: ISO/CIE 11664-4."""
    seen = [min(1, max(0, value)) for value in product(SIGHTS[sight], linear(colour))]
    x, y, z = (
        value ** (1 / 3) if value > (6 / 29) ** 3 else value / (3 * (6 / 29) ** 2) + 4 / 29
        for value in (v / w for v, w in zip(product(XYZ, seen), WHITE, strict=True))
    )
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


@pytest.mark.parametrize("colour", COLOURS)
def test_a_colour_stands_out_from_paper(colour):
    assert contrast(colour, PAPER) >= 3  # WCAG 2.2, 1.4.11, for what is not text


@pytest.mark.parametrize(
    ("ink", "paper"),
    [(INK, PAPER), (SOFT, PAPER), (DARK_INK, DARK_PAPER), (DARK_SOFT, DARK_PAPER)],
)
def test_words_can_be_read_in_light_and_in_the_dark(ink, paper):
    assert contrast(ink, paper) >= 4.5  # WCAG 2.2, 1.4.3


@pytest.mark.parametrize("sight", SIGHTS)
@pytest.mark.parametrize("pair", list(itertools.combinations(COLOURS, 2)), ids="-".join)
def test_two_colours_are_apart_for_everyone(sight, pair):
    one, other = (lab(colour, sight) for colour in pair)
    # Ten times the difference that is just noticed, 2.3 (Mahy and others, Color Research and
    # Application 19 (1994), 105, from memory).
    assert sum((a - b) ** 2 for a, b in zip(one, other, strict=True)) ** 0.5 >= 23


def test_no_two_letters_share_colour_and_pattern():
    signs = [fault_sign(letter, "") for letter in ascii_uppercase]
    assert len({(sign.colour, sign.pattern) for sign in signs}) == len(signs)
    assert len({sign.id for sign in signs}) == len(signs)
    assert {sign.pattern for sign in signs} == set(range(len(PATTERNS)))


def test_no_two_changes_share_colour_pattern_and_symbol():
    assert len({(sign.pattern, sign.symbol) for sign in CHANGES.values()}) == len(CHANGES)
