"""Vans, and the jobs of the pianos that they go to."""

from datetime import timedelta
from decimal import Decimal

import pytest

from shop.models import Level
from tests.factories.diagnostics import ExaminationFactory, RemedyPartFactory
from tests.factories.shop import InstrumentFactory, PartFactory, PlaceFactory, VisitFactory
from tests.factories.world import NOW, stock

DAYS = "starts_on=2026-03-02&ends_on=2026-03-15"
TRIP = {"starts_on": "2026-03-02", "ends_on": "2026-03-15"}


@pytest.fixture
def van(db):
    return PlaceFactory(name="Grey van")


@pytest.fixture
def repins(workshop):
    """The workshop's repinning takes some cloth as well."""
    cloth = PartFactory(code="cloth", name="Flange cloth", unit="metre")
    RemedyPartFactory(remedy=workshop.repin, part=cloth, quantity=Decimal("0.05"))
    return cloth


def tight(workshop, notes, **instrument):
    """Find tight flanges on another piano, and return the examination."""
    workshop.examination = ExaminationFactory(
        instrument=InstrumentFactory(**instrument), technician=workshop.examination.technician
    )
    workshop.find(notes)
    return workshop.examination


def visit(examination, days=0, **columns):
    begins = NOW + timedelta(days=days)
    return VisitFactory(
        site=examination.instrument.site,
        technician=examination.technician,
        starts_at=begins,
        **columns,
    )


def quoted(caller, examination, **terms):
    answer = caller.post(f"/examinations/{examination.pk}/quote", terms)
    assert answer.status_code == 201, answer.content
    return answer.json()


def part_of(packing, code):
    (found,) = [part for part in packing["parts"] if part["part"] == code]
    return found


def at(place, part):
    level = Level.objects.filter(place=place, part=part).first()
    return level.quantity if level else 0


def packed(caller, van, query=DAYS):
    answer = caller.get(f"/places/{van.pk}/packing-list?{query}")
    assert answer.status_code == 200, answer.content
    return answer.json()


@pytest.fixture
def job(technician, workshop, repins):
    """An approved job of twelve flanges: half a metre of cloth was there of the 0.6 it takes."""
    examination = tight(workshop, range(60, 72))
    visit(examination, days=1)
    stock(repins, Decimal("0.5"), 4)
    approved = quoted(technician, examination, approve=True)
    stock(repins, Decimal("0.05"), 4)
    return approved


@pytest.fixture
def two_jobs(technician, workshop, repins, job):
    """The same and later an offered one of four flanges, which take 0.2 m."""
    examination = tight(workshop, range(60, 64))
    visit(examination, days=5)
    stock(repins, Decimal("0.15"), 4)
    offered = quoted(technician, examination)
    stock(repins, Decimal("0.05"), 4)
    return job, offered
