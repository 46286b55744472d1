"""Answers about a room for the description of the API; tests hold that the program gives them."""

from typing import Any

ROOM: dict[str, Any] = {
    "instrument": 1,
    "place": "room",
    "since": "2026-03-02",
    "until": "2026-03-09",
    "limits": {"target_percent": 42.0, "lowest_percent": 35.0, "highest_percent": 55.0},
    "verdict": {
        "state": "damp",
        "explains_tight_cloth": True,
        "sentence": "65 % is above the highest of 55 %: wood goes to 12.0 % moisture "
        "content, and at the target of 42 % to 8.0 %. The room explains tight "
        "cloth and wood; treat it first.",
        "at": "2026-03-10T00:00:00Z",
        "days_count": 2,
        "evidence": {
            "now": {
                "temperature_c": 20.0,
                "humidity_percent": 65.0,
                "moisture_percent": 12.0,
                "dew_point_c": 13.2,
                "absolute_humidity_g_m3": 11.2,
                "is_extrapolated": False,
                "taken_at": "2026-03-09T09:30:00Z",
            },
            "dryest": {
                "temperature_c": 20.0,
                "humidity_percent": 45.0,
                "moisture_percent": 8.5,
                "dew_point_c": 7.7,
                "absolute_humidity_g_m3": 7.8,
                "is_extrapolated": False,
                "taken_at": "2026-03-02T09:30:00Z",
            },
            "dampest": {
                "temperature_c": 20.0,
                "humidity_percent": 65.0,
                "moisture_percent": 12.0,
                "dew_point_c": 13.2,
                "absolute_humidity_g_m3": 11.2,
                "is_extrapolated": False,
                "taken_at": "2026-03-09T09:30:00Z",
            },
            "target_moisture_percent": 8.0,
            "above_target_percent": 4.0,
            "rise_percent": 3.5,
        },
        "formulas": [
            {
                "name": "equilibrium moisture content of wood, equation 4-5 (°C)",
                "source": "Wood Handbook, FPL-GTR-282 (2021), chapter 4",
            },
            {
                "name": "a reading tells of 7 days, a swing is felt for 42, a rise of "
                "2 points is much",
                "source": "estimate",
            },
        ],
    },
    "days": [
        {
            "on": "2026-03-02",
            "readings_count": 1,
            "mean": {
                "temperature_c": 20.0,
                "humidity_percent": 45.0,
                "moisture_percent": 8.5,
                "dew_point_c": 7.7,
                "absolute_humidity_g_m3": 7.8,
                "is_extrapolated": False,
            },
            "lowest_temperature_c": 20.0,
            "highest_temperature_c": 20.0,
            "lowest_humidity_percent": 45.0,
            "highest_humidity_percent": 45.0,
        },
        {
            "on": "2026-03-09",
            "readings_count": 1,
            "mean": {
                "temperature_c": 20.0,
                "humidity_percent": 65.0,
                "moisture_percent": 12.0,
                "dew_point_c": 13.2,
                "absolute_humidity_g_m3": 11.2,
                "is_extrapolated": False,
            },
            "lowest_temperature_c": 20.0,
            "highest_temperature_c": 20.0,
            "lowest_humidity_percent": 65.0,
            "highest_humidity_percent": 65.0,
        },
    ],
    "movement": {
        "species": "american-basswood",
        "name": "American basswood",
        "provenance": "published",
        "source": "Wood Handbook, FPL-GTR-190 (2010), Tables 13-5 and 4-3.",
        "width_mm": 22.5,
        "changes": [
            {
                "between": "target and now",
                "from_percent": 8.0,
                "to_percent": 12.0,
                "radial": {
                    "change_mm": 0.205,
                    "is_extrapolated": False,
                    "formula": {
                        "name": "width x coefficient x change of moisture content, from 6 to 14 %",
                        "source": "Wood Handbook, FPL-GTR-190 (2010), Table 13-5",
                    },
                },
                "tangential": {
                    "change_mm": 0.295,
                    "is_extrapolated": False,
                    "formula": {
                        "name": "width x coefficient x change of moisture content, from 6 to 14 %",
                        "source": "Wood Handbook, FPL-GTR-190 (2010), Table 13-5",
                    },
                },
            },
            {
                "between": "dryest and dampest day",
                "from_percent": 8.5,
                "to_percent": 12.0,
                "radial": {
                    "change_mm": 0.182,
                    "is_extrapolated": False,
                    "formula": {
                        "name": "width x coefficient x change of moisture content, from 6 to 14 %",
                        "source": "Wood Handbook, FPL-GTR-190 (2010), Table 13-5",
                    },
                },
                "tangential": {
                    "change_mm": 0.261,
                    "is_extrapolated": False,
                    "formula": {
                        "name": "width x coefficient x change of moisture content, from 6 to 14 %",
                        "source": "Wood Handbook, FPL-GTR-190 (2010), Table 13-5",
                    },
                },
            },
        ],
    },
    "wanted": {
        "moisture_percent": 8.0,
        "temperature_c": 20.0,
        "humidity_percent": 41.8,
        "formula": {
            "name": "equilibrium moisture content of wood, equation 4-5 (°C)",
            "source": "Wood Handbook, FPL-GTR-282 (2021), chapter 4",
        },
    },
    "formulas": [
        {"name": "dew point, Magnus formula over water", "source": "WMO-No. 8, Annex 4.B"},
        {"name": "absolute humidity, ideal gas law", "source": "461.5 J/(kg K) for water vapour"},
    ],
}
ROOM_DRAWN = """\
Hallow & Finch 114, upright: the room
2026-03-02 to 2026-03-09: 2 readings on 2 days
Humidity 45 to 65 %, temperature 20.0 to 20.0 °C, wood settles at 8.5 to 12.0 % moisture content
65 % is above the highest of 55 %: wood goes to 12.0 % moisture content, and at the target of 42 %
to 8.0 %. The room explains tight cloth and wood; treat it first.

day             °C    %  wood %  0 %                                                           100 %
2026-03-02    20.0   45     8.5  ·······················[····|·*·····]······························
2026-03-09    20.0   65    12.0  ·······················[····|·······]······*·······················
"""
