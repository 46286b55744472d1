import pytest

from billing.rules.plans import PlanKind, advice


# Common practice: what is widespread in a room out of range waits for the room; else what is
# cheaper in more than half of all cases.
@pytest.mark.parametrize(
    ("cheaper", "is_widespread", "plan", "sentence"),
    [
        (0.004, True, PlanKind.ROOM_FIRST, "0 % of cases"),
        (0.5, False, PlanKind.ROOM_FIRST, "50 % of cases"),
        (0.49, False, PlanKind.NOW, "49 % of cases"),
    ],
)
def test_the_room_comes_first_where_much_waits_or_it_is_cheaper(
    cheaper, is_widespread, plan, sentence
):
    given = advice(cheaper, is_widespread=is_widespread)
    assert given.plan == plan
    assert sentence in given.sentence
