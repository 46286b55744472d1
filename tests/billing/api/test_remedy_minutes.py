from billing.api.remedy_minutes import REMEDY_MINUTES
from tests.billing.api.test_jobs import work
from tests.billing.api.test_quotes import quoted
from tests.factories.diagnostics import BenchWorkFactory, RemedyFactory


def report(caller):
    response = caller.get("/remedy-minutes")
    assert response.status_code == 200, response.content
    return response.json()


def completed(caller, workshop, minutes):
    """Quote the workshop's findings and do some of them, each in so many minutes."""
    quote = quoted(caller, workshop, approve=True)
    for note, each in minutes.items():
        answer = caller.post(f"/quotes/{quote['id']}/bench-work", work(note, minutes=each))
        assert answer.status_code == 201, answer.content
    assert caller.post(f"/quotes/{quote['id']}/complete").status_code == 200


def test_quoted_minutes_stand_beside_those_that_the_work_took(technician, office, workshop):
    workshop.find(range(60, 64))
    completed(technician, workshop, {"C4": "5", "C#4": "7", "D4": "6"})

    # 4 minutes a flange were quoted on four notes; three were done, in 18 minutes. The catalogue's
    # 4 weighs 8 times: (32 + 18) / 11 = 4.545, so that 4 becomes 4.5. By hand.
    assert report(technician) == REMEDY_MINUTES
    assert report(office) == report(technician)


def test_work_of_a_job_that_is_not_completed_is_the_shops_own_but_not_compared(
    technician, workshop
):
    workshop.find([60])
    quote = quoted(technician, workshop, approve=True)
    technician.post(f"/quotes/{quote['id']}/bench-work", work("C4", minutes="9"))

    (row,) = report(technician)["items"]

    assert (row["own_times"], row["own_minutes_mean"]) == (1, "9")
    assert (row["completed_jobs"], row["quoted_minutes_mean"], row["real_to_quoted"]) == (
        0,
        None,
        None,
    )


def test_a_remedy_of_the_whole_instrument_is_told_by_work_on_the_whole_of_it(technician, db):
    once = RemedyFactory(code="shim", charged_per="instrument")
    BenchWorkFactory(remedy=once, note_midi=None, minutes=30)
    BenchWorkFactory(remedy=once, note_midi=60, minutes=2)
    BenchWorkFactory(remedy=RemedyFactory(charged_per="instrument"), note_midi=60)

    (row,) = report(technician)["items"]

    assert (row["remedy"], row["own_times"], row["own_minutes_mean"]) == ("shim", 1, "30")


def test_the_report_is_a_sheet_too(office, workshop):
    BenchWorkFactory(remedy=workshop.repin, minutes="6.5")
    response = office.get("/remedy-minutes", Accept="text/csv")
    header, row = response.content.decode().splitlines()
    assert header.startswith("remedy,name,charged_per,catalogue_expected_minutes,own_times")
    assert row.startswith("repin-hammer,Repin the hammer flange,note,4,1,6.5,")


def test_nobody_reads_the_report_without_a_token(nobody, db):
    assert nobody.get("/remedy-minutes").status_code == 401


def test_the_report_costs_the_same_for_one_remedy_and_for_five(
    technician, db, django_assert_num_queries
):
    BenchWorkFactory.create_batch(5)
    # Token, remedies, their bench work, and the completed jobs.
    with django_assert_num_queries(4):
        assert len(report(technician)["items"]) == 5
