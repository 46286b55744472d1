"""A diagnosis, for the description of the API; held by tests."""

from typing import Any

DIAGNOSIS: dict[str, Any] = {
    "examination": 1,
    "verdict": "Look first for Hammer shank centre tight (grand) (94 %)",
    "treats_room_first": False,
    "cured_by_room": 0.0029,
    "room": {
        "state": "in_range",
        "sentence": (
            "48 % is in range: wood goes to 9.0 % moisture content, and at the target of "
            "42 % to 8.0 %. The room does not explain tight cloth."
        ),
        "readings_count": 2,
    },
    "spreads": [{"family": "tight", "kind": "isolated", "sentence": "1 of 88 notes, isolated: C4"}],
    "causes": [
        {
            "cause": "g-ham",
            "name": "Hammer shank centre tight (grand)",
            "remedy": "repin-hammer-shank-grand",
            "expected_notes": 0.94,
            "notes": "C4",
        }
    ],
    "notes": [
        {
            "notes": "C4",
            "notes_midi": [60],
            "verdict": "Likely Hammer shank centre tight (grand) (94 %)",
            "unknown": 0.0083,
            "cured_by_room": 0.0029,
            "likeliest": ["g-ham"],
            "likeliest_probability": 0.8634,
            "causes": [
                {
                    "cause": "g-ham",
                    "name": "Hammer shank centre tight (grand)",
                    "remedy": "repin-hammer-shank-grand",
                    "probability": 0.9353,
                    "reasons": [
                        {"said": "On 4 % of notes, whatever they do", "decibans": -13.9},
                        {
                            "said": "The room is in range: 25 % of its cases, 28 % of all",
                            "decibans": -0.5,
                        },
                        {
                            "said": "It stands by itself: 40 % of its cases, 36 % of all",
                            "decibans": 0.5,
                        },
                        {
                            "said": (
                                "Slow return was found: so in 70 % of its cases, in 0.5 %"
                                " without it"
                            ),
                            "decibans": 21.5,
                        },
                        {
                            "said": (
                                "Swings of a grand hammer: 2 is below 4 to 8: so in 90 % "
                                "of its cases, in 5 % without it"
                            ),
                            "decibans": 12.6,
                        },
                        {"said": "Other causes explain the same", "decibans": -8.5},
                    ],
                }
            ],
        }
    ],
    "rests_on": {
        "findings_count": 1,
        "check_results_count": 0,
        "complaint": "",
        "age_years": None,
        "cases": 0,
        "learnt_since": None,
        "cases_behind_weights": 50.0,
        "cases_behind_share": 10.0,
        "causes_per_note": 0.25,
        "unexplained_fault": 0.005,
    },
    "formulas": [
        {
            "name": "leaky noisy-or",
            "source": (
                "Pearl, Probabilistic Reasoning in Intelligent Systems (1988), 4.3.2; "
                "Henrion, Some Practical Issues in Constructing Belief Networks, "
                "Uncertainty in AI 3 (1989)"
            ),
        },
        {
            "name": "Bayes' rule over all sets of at most two causes",
            "source": (
                "Pearl, Probabilistic Reasoning in Intelligent Systems (1988), 2.1; sets enumerated"
            ),
        },
        {
            "name": (
                "weight of evidence in decibans: ten times the decimal logarithm of a "
                "factor on the odds"
            ),
            "source": "Good, Probability and the Weighing of Evidence (1950), chapter 6",
        },
        {"name": "shares of causes, checks and faults", "source": "the catalogue's estimates"},
        {
            "name": "beta and Dirichlet distributions moved by counts, and their means",
            "source": "Gelman et al., Bayesian Data Analysis, 3rd edition (2013), 2.4 and 3.4",
        },
    ],
}
