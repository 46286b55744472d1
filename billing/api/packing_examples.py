"""An answer for the description of the API; a test holds that the program gives it."""

from typing import Any

PACKING_LIST: dict[str, Any] = {
    "place": 6,
    "from_place": 1,
    "starts_on": "2026-03-02",
    "ends_on": "2026-03-15",
    "technician": None,
    "approval_chance": "0.75",
    "visits": [
        {
            "visit": 1,
            "starts_at": "2026-03-03T09:30:00Z",
            "ends_at": "2026-03-03T11:00:00Z",
            "technician": 1,
            "client": "Eel Pie Lane School 1",
            "site": "Practice room 2, beside the boiler",
            "purpose": "",
            "pianos": [
                {
                    "instrument": 1,
                    "name": "Quillfeather & Daughters QD1",
                    "action": "upright",
                    "centres": 12,
                    "bags": [
                        {
                            "quote": 1,
                            "status": "approved",
                            "approval_chance": "1",
                            "bag": 1,
                            "name": "Job bag 1-1",
                            "short": [
                                {
                                    "part": "cloth",
                                    "name": "Flange cloth",
                                    "unit": "metre",
                                    "quantity": "0.1",
                                }
                            ],
                        }
                    ],
                }
            ],
        }
    ],
    "parts": [
        {
            "part": "cloth",
            "name": "Flange cloth",
            "unit": "metre",
            "in_approved_bags": "0.5",
            "in_offered_bags": "0",
            "short_in_approved_bags": "0.1",
            "short_in_offered_bags": "0",
            "likely_pins": "0",
            "needed_quantity": "0.1",
            "in_van_quantity": "0",
            "on_shelf_quantity": "0.05",
            "to_load_quantity": "0.05",
            "short_quantity": "0.05",
        },
        {
            "part": "pin-20",
            "name": "Centre pin 20",
            "unit": "piece",
            "in_approved_bags": "9",
            "in_offered_bags": "0",
            "short_in_approved_bags": "0",
            "short_in_offered_bags": "0",
            "likely_pins": "9",
            "needed_quantity": "0",
            "in_van_quantity": "0",
            "on_shelf_quantity": "11",
            "to_load_quantity": "0",
            "short_quantity": "0",
        },
        {
            "part": "pin-20-5",
            "name": "Centre pin 20.5",
            "unit": "piece",
            "in_approved_bags": "8",
            "in_offered_bags": "0",
            "short_in_approved_bags": "0",
            "short_in_offered_bags": "0",
            "likely_pins": "8",
            "needed_quantity": "0",
            "in_van_quantity": "0",
            "on_shelf_quantity": "12",
            "to_load_quantity": "0",
            "short_quantity": "0",
        },
        {
            "part": "pin-21",
            "name": "Centre pin 21",
            "unit": "piece",
            "in_approved_bags": "6",
            "in_offered_bags": "0",
            "short_in_approved_bags": "0",
            "short_in_offered_bags": "0",
            "likely_pins": "6",
            "needed_quantity": "0",
            "in_van_quantity": "0",
            "on_shelf_quantity": "14",
            "to_load_quantity": "0",
            "short_quantity": "0",
        },
        {
            "part": "pin-21-5",
            "name": "Centre pin 21.5",
            "unit": "piece",
            "in_approved_bags": "6",
            "in_offered_bags": "0",
            "short_in_approved_bags": "0",
            "short_in_offered_bags": "0",
            "likely_pins": "6",
            "needed_quantity": "0",
            "in_van_quantity": "0",
            "on_shelf_quantity": "14",
            "to_load_quantity": "0",
            "short_quantity": "0",
        },
    ],
    "pins": {
        "centres": 12,
        "confidence": "0.95",
        "coverage": 0.9564,
        "is_exact": True,
        "sizes": [
            {"size": "20", "diameter_um": 1270, "count": 9, "part": "pin-20"},
            {"size": "20.5", "diameter_um": 1295, "count": 8, "part": "pin-20-5"},
            {"size": "21", "diameter_um": 1321, "count": 6, "part": "pin-21"},
            {"size": "21.5", "diameter_um": 1346, "count": 6, "part": "pin-21-5"},
        ],
        "known": [
            {"action": "upright", "size": "20", "share": "0.35", "fitted": 0, "weight_pins": "7"},
            {"action": "upright", "size": "20.5", "share": "0.3", "fitted": 0, "weight_pins": "6"},
            {"action": "upright", "size": "21", "share": "0.2", "fitted": 0, "weight_pins": "4"},
            {"action": "upright", "size": "21.5", "share": "0.15", "fitted": 0, "weight_pins": "3"},
        ],
        "prior_weight_pins": 20,
        "most_weight_pins": 60,
    },
    "formulas": [
        {
            "name": "needed beside the bags: what they lack, of centre pins at least what "
            "all the pianos are likely to take beyond what the bags hold; to load: "
            "what is needed and not in the van, as far as the shelf has it",
            "source": "arithmetic on the stock ledger",
        },
        {
            "name": "Dirichlet-multinomial counts",
            "source": 'Mosimann, "On the compound multinomial distribution", Biometrika 49 (1962).',
        },
        {
            "name": "share of answered quotes that were approved, two yes and one no added",
            "source": "mean of a beta distribution: Gelman et al., Bayesian Data Analysis, "
            "3rd edition (2013), 2.4; what is added is an estimate",
        },
    ],
}
