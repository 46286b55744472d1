from datetime import timedelta

import pytest

from shop.models import Visit
from tests.factories.shop import SiteFactory, UserFactory, VisitFactory
from tests.factories.world import NOW
from tests.shop.api.conftest import code_of, wrong


def a_visit(**values):
    morning = {"starts_at": "2026-03-02T09:30:00Z", "ends_at": "2026-03-02T11:00:00Z"}
    return {"site": SiteFactory().pk, **morning, **values}


def test_the_office_plans_changes_and_removes_a_visit(office):
    body = a_visit(technician=UserFactory().pk, purpose="The keys stick")
    made = office.post("visits", body)
    assert made == {"id": Visit.objects.get().pk, **body, "status": "planned"}
    path = f"visits/{made['id']}"
    later = "2026-03-02T11:30:00Z"
    assert office.change(path, {"ends_at": "2026-03-02T12:30:00+01:00"})["ends_at"] == later
    office.remove(path)
    assert not Visit.objects.exists()


def test_a_technician_plans_a_visit_of_their_own(technician):
    assert technician.post("visits", a_visit())["technician"] == technician.user.pk


def test_a_technician_neither_plans_nor_changes_the_visits_of_others(technician):
    other = UserFactory()
    problem = technician.post("visits", a_visit(technician=other.pk), 403)
    assert code_of(problem) == "forbidden"
    assert not Visit.objects.exists()
    path = f"visits/{VisitFactory(technician=other).pk}"
    assert technician.get(path)["technician"] == other.pk
    technician.change(path, {"purpose": "mine"}, 403)
    technician.post(f"{path}/complete", status=403)
    technician.post(f"{path}/cancel", status=403)
    visit = Visit.objects.get()
    assert (visit.purpose, visit.status) == ("", "planned")


def test_a_technician_does_not_give_a_visit_away(technician):
    path = f"visits/{VisitFactory(technician=technician.user).pk}"
    technician.change(path, {"technician": UserFactory().pk}, 403)
    assert Visit.objects.get().technician == technician.user


def test_a_technician_is_not_booked_twice_at_a_time(office):
    visit = VisitFactory()
    problem = office.post("visits", a_visit(technician=visit.technician_id), 409)
    assert code_of(problem) == "technician-booked"
    assert Visit.objects.count() == 1


def test_a_cancelled_visit_frees_the_technician(office):
    visit = VisitFactory()
    assert office.post(f"visits/{visit.pk}/cancel", status=200)["status"] == "cancelled"
    office.post("visits", a_visit(technician=visit.technician_id))
    assert Visit.objects.count() == 2


def test_a_visit_that_was_made_is_not_cancelled(technician):
    path = f"visits/{VisitFactory(technician=technician.user).pk}"
    assert technician.post(f"{path}/complete", status=200)["status"] == "done"
    assert code_of(technician.post(f"{path}/cancel", status=409)) == "status-edge"
    assert technician.get(path)["status"] == "done"


@pytest.mark.parametrize(
    ("field", "value", "code"),
    [
        ("starts_at", "2026-03-02T09:30:00", "no-offset"),
        ("starts_at", "next Monday", "invalid"),
        ("technician", 999, "does-not-exist"),
        ("status", "done", "unknown-member"),
    ],
)
def test_a_visit_with_a_value_that_cannot_be_right_is_refused(office, field, value, code):
    assert wrong(office.post("visits", a_visit(**{field: value}), 400)) == [(f"/{field}", code)]
    assert not Visit.objects.exists()


def test_a_visit_ends_after_it_starts(office):
    problem = office.post("visits", a_visit(ends_at="2026-03-02T09:30:00Z"), 409)
    assert code_of(problem) == "visit-ends-before-start"


def test_whoever_left_is_not_planned_for(office):
    gone = UserFactory(is_active=False)
    problem = office.post("visits", a_visit(technician=gone.pk), 400)
    assert wrong(problem) == [("/technician", "does-not-exist")]


def test_visits_are_found_by_technician_site_status_and_time(technician):
    visit = VisitFactory(done=True, starts_at=NOW + timedelta(days=1))
    VisitFactory()
    for query in (
        f"technician={visit.technician_id}",
        f"site={visit.site_id}",
        "status=done",
        "starts_at_after=2026-03-03T00:00:00Z",
    ):
        found = technician.get(f"visits?{query}")["items"]
        assert [row["id"] for row in found] == [visit.pk], query
    before = technician.get("visits?starts_at_before=2026-03-02T23:00:00Z")["items"]
    assert visit.pk not in [row["id"] for row in before]
