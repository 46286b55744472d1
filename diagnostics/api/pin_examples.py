"""Pins, their kit, what was measured of centres, and minutes, for the description of the API.

Tests hold each of them.
"""

from typing import Any


def _size(scheme: str, label: str, spoken: str, diameter_um: int, reamer: str) -> dict[str, Any]:
    return {
        "scheme": scheme,
        "size": label,
        "spoken": spoken,
        "diameter_um": diameter_um,
        "reamer": reamer,
    }


def _in_kit(
    label: str, spoken: str, diameter_um: int, count: int, part: str | None, share: str, weight: str
) -> dict[str, Any]:
    return {
        "size": label,
        "spoken": spoken,
        "diameter_um": diameter_um,
        "count": count,
        "part": part,
        "share": share,
        "fitted": 0,
        "weight_pins": weight,
    }


INCH_20_5 = _size("inch", "20.5", "20 1/2", 1295, "21 1/2")
METRIC_20_5 = _size("metric", "20.5", "20 1/2", 1275, "21 1/2")

KIT: dict[str, Any] = {
    "examination": 1,
    "action": "upright",
    "known_pins": [],
    "centres": 12,
    "confidence": "0.95",
    "coverage": 0.9564,
    "coverage_stocked": 0.1973,
    "is_exact": True,
    "sizes": [
        _in_kit("20", "20", 1270, 9, "inch-20", "0.35", "7"),
        _in_kit("20.5", "20 1/2", 1295, 8, "inch-20.5", "0.3", "6"),
        _in_kit("21", "21", 1321, 6, "inch-21", "0.2", "4"),
        _in_kit("21.5", "21 1/2", 1346, 6, None, "0.15", "3"),
    ],
    "not_stocked": ["21.5"],
    "prior_weight_pins": 20,
    "most_weight_pins": 60,
    "formula": {
        "name": "Dirichlet-multinomial counts",
        "source": 'Mosimann, "On the compound multinomial distribution", Biometrika 49 (1962).',
    },
}

ESTIMATE: dict[str, Any] = {
    "examination": 1,
    "set_up": {
        "code": "action-out",
        "name": "The action-out",
        "minutes": {"low": "15", "likely": "20", "high": "25", "expected": "20"},
    },
    "remedies": [
        {
            "remedy": "repin",
            "name": "The repin",
            "times": 12,
            "note_count": 12,
            "catalogue_minutes": {"low": "3", "likely": "4", "high": "5", "expected": "4"},
            "own_minutes": {"times": 24, "mean": "8"},
            "moved_minutes": {"low": "5.2", "likely": "7", "high": "8.8", "expected": "7"},
        }
    ],
    "expected_minutes": "68",
    "low_minutes": "62.4",
    "high_minutes": "73.6",
    "quotes_by_bench_work": False,
    "catalogue_weight": 8,
    "undecided_count": 0,
    "formulas": [
        {
            "name": "PERT: (low + 4 likely + high) / 6, deviation (high - low) / 6, total taken as"
            " normal",
            "source": "Malcolm, Roseboom, Clark and Fazar, Operations Research 7 (1959).",
        },
        {
            "name": "mean of the catalogue's minutes, at its weight, and the shop's own",
            "source": 'Gelman and others, "Bayesian Data Analysis", 3rd edition, section 2.5.',
        },
    ],
}

CENTRES: dict[str, Any] = {
    "examination": 1,
    "centres": [
        {
            "finding": 1,
            "note_midi": 60,
            "note": "C4",
            "component": "flange",
            "friction": {
                "force_g": "4",
                "radius_mm": "46",
                "torque_gf_mm": "184",
                "torque_mn_m": "1.8",
                "judgement": {
                    "standing": "high",
                    "low": "1",
                    "high": "2.5",
                    "by": {
                        "code": "friction",
                        "name": "The friction",
                        "low": "2",
                        "high": "5",
                        "radius_mm": "23",
                        "swings_counted": "",
                        "provenance": "shop",
                        "source": "",
                    },
                },
            },
            "swings": None,
            "pin_diameter_um": None,
            "pin_could_be": [],
        }
    ],
    "formula": {
        "name": "torque = force x radius, with standard gravity 9.80665 m/s2",
        "source": "BIPM, The International System of Units; 3rd CGPM (1901), resolution 2.",
    },
}

SIZES: dict[str, Any] = {
    "measured_um": 1283,
    "items": [
        {"size": METRIC_20_5, "part": None},
        {"size": INCH_20_5, "part": "inch-20.5"},
    ],
    "could_be": [METRIC_20_5, INCH_20_5],
    "formulas": [
        {
            "name": "diameter of size N: inch, 10 + 2 N thousandths; metric, 0.25 + 0.05 N mm",
            "source": "inch: a technician's public page on repinning hammer flanges;"
            " metric: from memory",
        },
        {"name": "reamer one full size above the pin", "source": "common practice"},
        {
            "name": "a measured pin may be any size within half a size",
            "source": "posts to a technicians' mailing list, 2003 and 2008",
        },
    ],
}

TRIAL: dict[str, Any] = {
    "trials": [{"size": "20", "scheme": "inch", "fit": "too_loose"}],
    "advice": "try",
    "size": INCH_20_5,
    "sentence": "Try size 20 1/2.",
    "formulas": [
        {
            "name": "too snug, go down; too loose, go up; firm is right; start at size 20",
            "source": "common practice",
        }
    ],
}
