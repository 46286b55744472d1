from datetime import timedelta

import pgtrigger
import pytest

from shop.models import Visit, VisitStatus
from tests.factories.shop import SiteFactory, UserFactory, VisitFactory
from tests.factories.world import NOW
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db

MINUTE = timedelta(minutes=1)
HOUR = timedelta(hours=1)


def test_a_visit_ends_after_it_starts():
    with refused("shop_visit_ends_after_start"):
        VisitFactory(ends_at=NOW)
    with accepted():
        VisitFactory(ends_at=NOW + MINUTE)


def test_a_visit_has_a_status_that_is_known():
    # The edges refuse an unknown status first; without them the column still does.
    with pgtrigger.ignore("shop.Visit:shop_visit_status_first"):
        with refused("shop_visit_status_known"):
            VisitFactory(status="postponed")
        with accepted():
            VisitFactory(status="done")


@pytest.mark.parametrize(
    ("starts_at", "ends_at"),
    [
        (NOW, NOW + HOUR),
        (NOW + HOUR - MINUTE, NOW + 2 * HOUR),
        (NOW - HOUR, NOW + MINUTE),
        (NOW - HOUR, NOW + 2 * HOUR),
        (NOW + MINUTE, NOW + 2 * MINUTE),
    ],
    ids=["the same time", "its end", "its start", "around it", "within it"],
)
def test_a_technician_is_at_one_place_at_a_time(starts_at, ends_at):
    visit = VisitFactory(starts_at=NOW, ends_at=NOW + HOUR)
    with refused("shop_visit_technician_free"):
        VisitFactory(technician=visit.technician, starts_at=starts_at, ends_at=ends_at)
    with accepted():
        VisitFactory(technician=UserFactory(), starts_at=starts_at, ends_at=ends_at)


@pytest.mark.parametrize(
    ("starts_at", "ends_at"),
    [(NOW + HOUR, NOW + 2 * HOUR), (NOW - HOUR, NOW)],
    ids=["the next", "the one before"],
)
def test_visits_may_touch(starts_at, ends_at):
    visit = VisitFactory(starts_at=NOW, ends_at=NOW + HOUR)
    with accepted():
        VisitFactory(technician=visit.technician, starts_at=starts_at, ends_at=ends_at)


def test_a_visit_cannot_be_moved_onto_another():
    visit = VisitFactory(starts_at=NOW, ends_at=NOW + HOUR)
    later = VisitFactory(technician=visit.technician, starts_at=NOW + HOUR, ends_at=NOW + 2 * HOUR)
    mine = Visit.objects.filter(pk=later.pk)
    with refused("shop_visit_technician_free"):
        mine.update(starts_at=NOW + HOUR - MINUTE)
    with accepted():
        mine.update(starts_at=NOW + HOUR + MINUTE)


def test_a_cancelled_visit_leaves_its_time_free_and_a_done_one_does_not():
    technician = UserFactory()
    VisitFactory(technician=technician, cancelled=True)
    with accepted():
        VisitFactory(technician=technician, done=True)
    with refused("shop_visit_technician_free"):
        VisitFactory(technician=technician)


def test_two_technicians_may_be_at_one_site_at_a_time():
    site = SiteFactory()
    with accepted():
        VisitFactory.create_batch(2, site=site)


def test_a_visit_starts_planned():
    with refused("shop_visit_status_first"):
        VisitFactory(status=VisitStatus.DONE)
    with accepted():
        VisitFactory(status=VisitStatus.PLANNED)


@pytest.mark.parametrize("end", [VisitStatus.DONE, VisitStatus.CANCELLED])
def test_a_visit_ends_once(end):
    visits = Visit.objects.filter(pk=VisitFactory().pk)
    with accepted():
        visits.update(status=end)
    for other in {*VisitStatus} - {end}:
        with refused("shop_visit_status_edge"):
            visits.update(status=other)
    with accepted():
        visits.update(status=end, purpose="Second regulation")
