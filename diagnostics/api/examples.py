"""Answers for the description of the API; tests hold that the program gives them."""

from typing import Any

COMPARISON: dict[str, Any] = {
    "examination": 2,
    "examined_at": "2026-03-02T09:30:00Z",
    "follows": 1,
    "followed_examined_at": "2026-02-16T09:30:00Z",
    "room_was_treated": True,
    "notes_compared": 13,
    "counts": {
        "cured": 1,
        "better": 1,
        "unchanged": 0,
        "worse": 0,
        "new": 0,
        "not_looked_at_again": 0,
        "not_looked_at_before": 0,
    },
    "sentence": "Of 2 faults looked at again: 1 cured, 1 better.",
    "items": [
        {
            "note_midi": 60,
            "key_number": 1,
            "note": "C4",
            "key_name": "C1",
            "fault": "slow-return",
            "component": None,
            "severity_before": "moderate",
            "severity_after": None,
            "change": "cured",
            "worked_on": False,
        },
        {
            "note_midi": 64,
            "key_number": 5,
            "note": "E4",
            "key_name": "E5",
            "fault": "slow-return",
            "component": None,
            "severity_before": "severe",
            "severity_after": "slight",
            "change": "better",
            "worked_on": False,
        },
    ],
}
CURES = {"items": [{"fault": "slow-return", "cause": None, "followed": 2, "cured": 1}]}
EXAMINATION_DRAWN = """\
Hallow & Finch 114, upright, 13 keys C4 to C5
Marked: 2 notes (2 naturals, 0 sharps)

 C4            C5
┌─────┬───────┬─┐
│ █ █ │ █ █ █ │ │
│ █ █ │ █ █ █ │ │
│S│ │S│ │ │ │ │ │
└─┴─┴─┴─┴─┴─┴─┴─┘

S  Slow return       2 notes (2 naturals, 0 sharps)

Severe: E4
2026-02-16: all 13 notes looked at, 2 findings on 2 notes (2 naturals, 0 sharps)
"""
COMPARISON_DRAWN = """\
Hallow & Finch 114, upright, 13 keys C4 to C5
Marked: 2 notes (2 naturals, 0 sharps)

 C4            C5
┌─────┬───────┬─┐
│ █ █ │ █ █ █ │ │
│ █ █ │ █ █ █ │ │
│C│ │B│ │ │ │ │ │
└─┴─┴─┴─┴─┴─┴─┴─┘

C  Cured             1 note (1 natural, 0 sharps)
B  Better            1 note (1 natural, 0 sharps)

E4: Slow return, severe to slight, better
2026-02-16 to 2026-03-02: 13 notes compared
Of 2 faults looked at again: 1 cured, 1 better.
"""
HISTORY_DRAWN = """\
Hallow & Finch 114, upright, 13 keys C4 to C5
Marked: 2 notes (2 naturals, 0 sharps)

 C4            C5
┌─────┬───────┬─┐
│ █ █ │ █ █ █ │ │
│ █ █ │ █ █ █ │ │
│1│ │2│ │ │ │ │ │
└─┴─┴─┴─┴─┴─┴─┴─┘

2  Faulty in 2 examinations  1 note (1 natural, 0 sharps)
1  Faulty in 1 examination   1 note (1 natural, 0 sharps)

Faulty in 2 examinations: E4
Faulty in 1 examination: C4
2026-02-16: all 13 notes looked at, 2 findings on 2 notes (2 naturals, 0 sharps)
2026-03-02: all 13 notes looked at, 1 finding on 1 note (1 natural, 0 sharps)
2 examinations, 2026-02-16 to 2026-03-02
"""
