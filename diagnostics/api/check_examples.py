"""Answers about checks for the description of the API; tests hold that the program gives them."""

from typing import Any

NEXT_CHECKS: dict[str, Any] = {
    "examination": 1,
    "sure_percent": "80.0",
    "opened": "none",
    "expected_minutes": 1.2,
    "is_exact": True,
    "checks": [
        {
            "notes": "C4",
            "notes_midi": [60],
            "check": "side-play",
            "name": "Side play of the key",
            "instruction": "Try it by hand.",
            "reads_as": "Positive: it binds. Negative: it is free.",
            "per_note": True,
            "minutes": 1.2,
            "set_up": "none",
            "set_up_minutes": 0.0,
            "chance_needed": 1.0,
            "reason": "Tells 0.53 bits about the cause in 1.2 min; needed with a chance of 100 %.",
            "tells": [
                {
                    "notes": "C4",
                    "notes_midi": [60],
                    "chance_needed": 1.0,
                    "information_bits": 0.531,
                    "positive": {
                        "chance": 0.4897,
                        "causes": [
                            {
                                "cause": "tight-key",
                                "name": "Key bushing tight",
                                "probability": 0.8953,
                            },
                            {
                                "cause": "tight-centre",
                                "name": "Hammer centre tight",
                                "probability": 0.0995,
                            },
                            {
                                "cause": "unknown",
                                "name": "a cause that is not in the catalogue",
                                "probability": 0.0053,
                            },
                        ],
                        "decided": "tight-key",
                        "next_check": None,
                        "meaning": "Key bushing tight (90 %): sure enough, nothing more to ask.",
                    },
                    "negative": {
                        "chance": 0.5103,
                        "causes": [
                            {
                                "cause": "tight-centre",
                                "name": "Hammer centre tight",
                                "probability": 0.859,
                            },
                            {
                                "cause": "tight-key",
                                "name": "Key bushing tight",
                                "probability": 0.0954,
                            },
                            {
                                "cause": "unknown",
                                "name": "a cause that is not in the catalogue",
                                "probability": 0.0456,
                            },
                        ],
                        "decided": "tight-centre",
                        "next_check": None,
                        "meaning": "Hammer centre tight (86 %): sure enough, nothing more to ask.",
                    },
                }
            ],
        }
    ],
    "decided": [],
    "nothing_left": [],
    "formulas": [
        {
            "name": "least expected minutes: dynamic programming over the answers; for one "
            "cause and checks that never err, probability over minutes with set-ups "
            "grouped",
            "source": "Bellman, Dynamic Programming (1957); Smith, Naval Res. Logist. "
            "Quart. 3 (1956), 59; Horn, SIAM J. Appl. Math. 23 (1972), 189",
        }
    ],
}

WORK_SHEET: dict[str, Any] = {
    "instrument": "Hallow & Finch 114",
    "client": "Eel Pie Lane School",
    "place": "Hall",
    "complaint": "One key is slow.",
    "verdict": "Look first for Hammer centre tight (53 %); then Key bushing tight (53 %)",
    "sure_percent": "80.0",
    "first": [
        {
            "check": "ask",
            "name": "Ask the client",
            "instruction": "Since when?",
            "reads_as": "Positive: it binds. Negative: it is free.",
            "minutes": 1.2,
        }
    ],
    "levels": [
        {
            "set_up": "none",
            "name": "As it stands",
            "minutes": 0.0,
            "checks": [
                {
                    "notes": "C4",
                    "notes_midi": [60],
                    "check": "side-play",
                    "name": "Side play of the key",
                    "instruction": "Try it by hand.",
                    "reads_as": "Positive: it binds. Negative: it is free.",
                    "per_note": True,
                    "minutes": 1.2,
                    "set_up": "none",
                    "set_up_minutes": 0.0,
                    "chance_needed": 1.0,
                    "reason": "Tells 0.53 bits about the cause in 1.2 min; needed with a "
                    "chance of 100 %.",
                    "tells": [
                        {
                            "notes": "C4",
                            "notes_midi": [60],
                            "chance_needed": 1.0,
                            "information_bits": 0.531,
                            "positive": {
                                "chance": 0.4897,
                                "causes": [
                                    {
                                        "cause": "tight-key",
                                        "name": "Key bushing tight",
                                        "probability": 0.8953,
                                    },
                                    {
                                        "cause": "tight-centre",
                                        "name": "Hammer centre tight",
                                        "probability": 0.0995,
                                    },
                                    {
                                        "cause": "unknown",
                                        "name": "a cause that is not in the catalogue",
                                        "probability": 0.0053,
                                    },
                                ],
                                "decided": "tight-key",
                                "next_check": None,
                                "meaning": "Key bushing tight (90 %): sure "
                                "enough, nothing more to ask.",
                            },
                            "negative": {
                                "chance": 0.5103,
                                "causes": [
                                    {
                                        "cause": "tight-centre",
                                        "name": "Hammer centre tight",
                                        "probability": 0.859,
                                    },
                                    {
                                        "cause": "tight-key",
                                        "name": "Key bushing tight",
                                        "probability": 0.0954,
                                    },
                                    {
                                        "cause": "unknown",
                                        "name": "a cause that is not in the catalogue",
                                        "probability": 0.0456,
                                    },
                                ],
                                "decided": "tight-centre",
                                "next_check": None,
                                "meaning": "Hammer centre tight (86 %): sure "
                                "enough, nothing more to "
                                "ask.",
                            },
                        }
                    ],
                }
            ],
        }
    ],
    "decided": [],
    "nothing_left": [],
    "remedies": [
        {
            "notes": "C4",
            "notes_midi": [60],
            "remedy": "ease-tight-centre",
            "name": "Ease: Hammer centre tight",
            "causes": [
                {"cause": "tight-centre", "name": "Hammer centre tight", "probability": 0.5313}
            ],
            "times": 1,
            "minutes": 4.5,
            "set_up": "action-out",
            "pins": 0,
        },
        {
            "notes": "C4",
            "notes_midi": [60],
            "remedy": "ease-tight-key",
            "name": "Ease: Key bushing tight",
            "causes": [{"cause": "tight-key", "name": "Key bushing tight", "probability": 0.5313}],
            "times": 1,
            "minutes": 4.5,
            "set_up": "none",
            "pins": 0,
        },
    ],
    "parts": [
        {
            "part": "part-tight-centre",
            "name": "Part for tight-centre",
            "quantity": "1",
            "unit": "piece",
        },
        {"part": "part-tight-key", "name": "Part for tight-key", "quantity": "1", "unit": "piece"},
    ],
    "tools": [
        {"tool": "tool-tight-centre", "name": "Tool for tight-centre"},
        {"tool": "tool-tight-key", "name": "Tool for tight-key"},
    ],
    "cautions": [{"caution": "general", "title": "General", "text": "Take care."}],
    "expected_minutes": 1.2,
    "is_exact": True,
    "formulas": [
        {
            "name": "least expected minutes: dynamic programming over the answers; for one "
            "cause and checks that never err, probability over minutes with set-ups "
            "grouped",
            "source": "Bellman, Dynamic Programming (1957); Smith, Naval Res. Logist. "
            "Quart. 3 (1956), 59; Horn, SIAM J. Appl. Math. 23 (1972), 189",
        }
    ],
}
