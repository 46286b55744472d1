from datetime import date

import pytest

from billing.rules.warranty import DoneWork, FoundAgain, covering, warranty_reason
from shop.queries.words import words_in
from shop.rules.words import ENGLISH

FLANGE, KEY = 1, 2
DONE = DoneWork(quote_id=7, done_on=date(2026, 3, 2), component_id=FLANGE, note_midi=60)
WHOLE = DoneWork(quote_id=8, done_on=date(2026, 3, 4), component_id=KEY, note_midi=None)


@pytest.mark.parametrize(
    ("found", "days", "work"),
    [
        (FoundAgain(date(2026, 3, 2), FLANGE, 60), 30, DONE),
        # March has 31 days: 30 days after the 2nd of March is the 1st of April.
        (FoundAgain(date(2026, 4, 1), FLANGE, 60), 30, DONE),
        (FoundAgain(date(2026, 4, 2), FLANGE, 60), 30, None),
        (FoundAgain(date(2026, 3, 1), FLANGE, 60), 30, None),
        (FoundAgain(date(2026, 3, 3), FLANGE, 61), 30, None),
        (FoundAgain(date(2026, 3, 3), KEY, 60), 30, None),
        (FoundAgain(date(2026, 3, 5), KEY, 61), 30, WHOLE),
        (FoundAgain(date(2026, 3, 5), KEY, None), 30, WHOLE),
        (FoundAgain(date(2026, 3, 3), FLANGE, None), 30, None),
    ],
    ids=[
        *("the same day", "the last day", "a day late", "before"),
        *("another note", "another component", "a note of the whole", "the whole", "of one note"),
    ],
)
def test_the_warranty_covers_the_same_note_and_component_for_its_days(found, days, work):
    assert covering(found, [DONE, WHOLE], days) == work


def test_the_last_work_is_the_one_that_is_named():
    later = DoneWork(quote_id=9, done_on=date(2026, 3, 9), component_id=FLANGE, note_midi=60)
    found = FoundAgain(date(2026, 3, 10), FLANGE, 60)
    assert covering(found, [later, DONE], 30) == later
    assert warranty_reason(later, ENGLISH) == "Warranty: quote 9, done on 2026-03-09."
    german = "Garantie: Angebot 9, ausgeführt am 09.03.2026."
    assert warranty_reason(later, words_in("de")) == german
