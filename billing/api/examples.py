"""Answers for the description of the API; tests hold that the program gives them."""

from typing import Any

PLANS: dict[str, Any] = {
    "examination": 1,
    "currency": "EUR",
    "advice": {
        "plan": "room_first",
        "sentence": "Room first, by common practice: what it may cure is "
        "widespread, and what is fitted in this air will not fit "
        "later. It is cheaper in 41 % of cases.",
    },
    "now": {"visits": 1, "net_expected": "181.40", "net_low": "167.99", "net_high": "194.82"},
    "room_first": {
        "visits": 2,
        "net_expected": "189.99",
        "net_low": "153.09",
        "net_high": "230.71",
        "first_visit_net_expected": "92.40",
        "cheaper_chance": 0.4102,
        "treated_by": ["room-first"],
        "notes_now": "C5",
        "notes_waiting": "E2-A4",
        "notes_waiting_count": 30,
        "cured_expected": "18",
        "cured_low": 9,
        "cured_high": 26,
        "due_on": "2026-03-16",
    },
    "hindrance": None,
    "warnings": [
        {
            "code": "cure-rate-estimated",
            "sentence": "How much the room cures is the catalogue's estimate; "
            "nothing was followed up.",
        },
        {
            "code": "room-not-settled",
            "sentence": "Look again on 2026-03-16 or later, and not before 2 "
            "readings in a row are in range; so far 0.",
        },
    ],
    "rests_on": {
        "room": {
            "state": "damp",
            "sentence": "65 % is above the highest of 55 %: wood goes to "
            "12.0 % moisture content, and at the target of 42 % "
            "to 8.1 %. The room explains tight cloth and wood; "
            "treat it first.",
        },
        "is_widespread": True,
        "cure_rate": {
            "estimate": 0.6,
            "estimate_weight": 5,
            "followed": 0,
            "cured": 0,
            "share": 0.6,
            "weight": "5",
            "most_weight": 20,
        },
        "hour": "60.00",
        "travel": "25.00",
        "minimum": "0.00",
        "settle_days": 14,
        "settled_readings": 0,
        "settled_readings_wanted": 2,
        "undecided_count": 0,
    },
    "cautions": [],
    "formulas": [
        {
            "name": "beta-binomial counts",
            "source": 'Skellam, "A probability distribution derived from the '
            "binomial distribution by regarding the probability of "
            'success as variable", Journal of the Royal Statistical '
            "Society B 10 (1948).",
        },
        {
            "name": "a share's beta distribution moved by counts, and its mean",
            "source": "Gelman et al., Bayesian Data Analysis, 3rd edition (2013), 2.4",
        },
        {
            "name": "every number of notes left and every deepest set-up among "
            "them, counted exactly, as if any notes were as likely to be "
            "left as any others; of each the mean work",
            "source": "enumeration",
        },
        {
            "name": "PERT: (low + 4 likely + high) / 6, deviation (high - low) / 6, "
            "total taken as normal",
            "source": "Malcolm, Roseboom, Clark and Fazar, Operations Research 7 (1959).",
        },
        {
            "name": "mixture over what may be left; the cost of each taken as "
            "normal by PERT, and the cost of a visit as the minimum charge "
            "where that is expected to be more",
            "source": "estimate",
        },
        {
            "name": "room first when many notes stick in a room out of range; "
            "meanwhile debris, rails and single stuck notes only",
            "source": "common practice; up to 3 single notes: estimate",
        },
    ],
}
