"""Where faults stand and what notes weigh, for the description of the API; held by tests."""

from typing import Any

SPREAD: dict[str, Any] = {
    "examination": 1,
    "examined_count": 13,
    "examined": "C4-C5",
    "breaks_midi": [],
    "families": [
        {
            "family": "tight",
            "name": "Tight or slow to return",
            "on_the_whole": False,
            "kind": "isolated",
            "sentence": "2 of 13 notes, isolated: E4, F4",
            "affected_count": 2,
            "affected": "E4, F4",
            "cluster": "",
            "section": None,
            "is_widespread": False,
            "numbers": {
                "share": 0.154,
                "share_low": 0.0433,
                "share_high": 0.422,
                "runs": 3,
                "runs_probability": 0.167,
                "longest_run": 2,
                "longest_run_probability": 0.154,
                "windows": [
                    {"width": 2, "count": 2, "lowest": "E4", "highest": "F4", "probability": 0.154},
                    {
                        "width": 3,
                        "count": 2,
                        "lowest": "D#4",
                        "highest": "F4",
                        "probability": 0.295,
                    },
                    {
                        "width": 5,
                        "count": 2,
                        "lowest": "C#4",
                        "highest": "F4",
                        "probability": 0.538,
                    },
                    {"width": 8, "count": 2, "lowest": "C4", "highest": "G4", "probability": 0.808},
                ],
                "cluster_probability": 0.154,
                "sections": [
                    {
                        "section": "tenor",
                        "examined": 12,
                        "affected": 2,
                        "probability": 0.846,
                        "corrected_probability": 1.0,
                        "stands_out": False,
                    },
                    {
                        "section": "treble",
                        "examined": 1,
                        "affected": 0,
                        "probability": 1.0,
                        "corrected_probability": 1.0,
                        "stands_out": False,
                    },
                    {
                        "section": "naturals",
                        "examined": 8,
                        "affected": 2,
                        "probability": 0.359,
                        "corrected_probability": 1.0,
                        "stands_out": False,
                    },
                    {
                        "section": "sharps",
                        "examined": 5,
                        "affected": 0,
                        "probability": 1.0,
                        "corrected_probability": 1.0,
                        "stands_out": False,
                    },
                ],
            },
            "formulas": [
                {
                    "name": "Wilson interval, 95 %",
                    "source": "Wilson, J. Amer. Statist. Assoc. 22 (1927), 209",
                },
                {
                    "name": "runs test, exact",
                    "source": "Wald and Wolfowitz, Ann. Math. Statist. 11 (1940), 147",
                },
                {
                    "name": "longest run, exact, by inclusion and exclusion",
                    "source": "Feller, An Introduction to Probability Theory and Its "
                    "Applications I, ch. II",
                },
                {
                    "name": "conditional scan statistic over several widths, counted exactly",
                    "source": "statistic: Naus, J. Amer. Statist. Assoc. 60 (1965), 532",
                },
                {
                    "name": "Fisher's exact test, one-sided",
                    "source": "Fisher, Statistical Methods (1934), 21.02",
                },
                {"name": "Holm's correction", "source": "Holm, Scand. J. Statist. 6 (1979), 65"},
                {
                    "name": "widespread from 10 % of the notes, or 8 over two sections",
                    "source": "estimate",
                },
            ],
        }
    ],
}
TOUCH: dict[str, Any] = {
    "examination": 1,
    "sentence": "1 note weighed: too few to smooth, which takes down and up weight of 8 notes.",
    "notes": [
        {
            "note_midi": 64,
            "note": "E4",
            "is_remarkable": True,
            "values": [
                {
                    "quantity": "down_weight_g",
                    "value_g": "58",
                    "smooth_g": None,
                    "stands_out": False,
                    "standing": None,
                    "judged_by": "",
                },
                {
                    "quantity": "up_weight_g",
                    "value_g": "22",
                    "smooth_g": None,
                    "stands_out": False,
                    "standing": None,
                    "judged_by": "",
                },
                {
                    "quantity": "balance_weight_g",
                    "value_g": "40",
                    "smooth_g": None,
                    "stands_out": False,
                    "standing": None,
                    "judged_by": "",
                },
                {
                    "quantity": "touch_friction_g",
                    "value_g": "18",
                    "smooth_g": None,
                    "stands_out": False,
                    "standing": "high",
                    "judged_by": "touch-friction",
                },
            ],
        }
    ],
    "curves": [],
    "ranges": [
        {
            "range": "touch-friction",
            "name": "Friction of the whole note",
            "quantity": "touch_friction_g",
            "low": "7",
            "high": "16",
            "judges": True,
            "below": 0,
            "within": 0,
            "above": 1,
            "provenance": "estimate",
            "published_in": "A band to warn outside of.",
        }
    ],
    "impossible": "",
    "formulas": [
        {
            "name": "balance weight (D + U) / 2, friction (D - U) / 2",
            "source": "a list of college and university technicians",
        },
        {
            "name": "robust local regression (LOWESS) over a third of the notes",
            "source": "Cleveland, J. Amer. Statist. Assoc. 74 (1979), 829",
        },
        {
            "name": "stands out: over 3.5 scaled median deviations from the smooth line",
            "source": "Iglewicz and Hoaglin, How to Detect and Handle Outliers (1993), from memory",
        },
    ],
}
