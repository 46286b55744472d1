"""What the description of the API shows is what the program answers."""

from billing.api import examples


def test_the_plans_shown_are_those_that_are_answered(technician, damp):
    damp.find(range(40, 70))
    damp.find([72], severity="severe")
    answer = technician.get(f"/examinations/{damp.examination.pk}/plans").json()
    assert _undated(answer, damp) == _undated(examples.PLANS, damp)


def _undated(answer, damp):
    """The answer without what the day and the database decide."""
    room_first = {key: value for key, value in answer["room_first"].items() if key != "due_on"}
    warnings = [each["code"] for each in answer["warnings"]]
    return answer | {"room_first": room_first, "warnings": warnings, "examination": 1}
