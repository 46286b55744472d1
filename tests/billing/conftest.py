"""A priced catalogue, pins on the shelf, and an upright with tight hammer flanges."""

from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal

import pytest

from billing.models import FeeKind
from diagnostics.models import Cause, ChargedPer, Examination, Fault, Remedy
from shop.models import Part, PartCategory
from tests.callers import nobody, office, owner, technician
from tests.factories.billing import FeeFactory, LabourRateFactory
from tests.factories.diagnostics import (
    CauseFactory,
    ComponentFactory,
    ExaminationFactory,
    FaultFactory,
    FindingFactory,
    PinShareFactory,
    RemedyFactory,
    RemedyPartFactory,
    RoomReadingFactory,
    SetUpFactory,
)
from tests.factories.shop import PartFactory, TaxCategoryFactory, UserFactory
from tests.factories.world import stock

__all__ = ["nobody", "office", "owner", "technician"]

PINS = {"20": (1270, "0.35"), "20.5": (1295, "0.30"), "21": (1321, "0.20"), "21.5": (1346, "0.15")}
ON_SHELF = 20


@dataclass
class Workshop:
    """The rows that a test about quotes speaks of."""

    examination: Examination
    fault: Fault
    cause: Cause
    repin: Remedy
    pins: dict[str, Part]

    def find(self, notes, **columns):
        """Record a tight flange on each note, or what `columns` say instead."""
        columns = {"cause": self.cause} | columns
        for note in notes:
            FindingFactory(
                examination=self.examination, note_midi=note, fault=self.fault, **columns
            )

    def room_is(self, humidity_percent, days_later=0):
        """Record a reading of the room at the examination, or days later."""
        RoomReadingFactory(
            instrument=self.examination.instrument,
            taken_at=self.examination.examined_at + timedelta(days=days_later),
            humidity_percent=humidity_percent,
        )


@pytest.fixture
def workshop(db) -> Workshop:
    return make_workshop()


def make_workshop() -> Workshop:
    tax = TaxCategoryFactory(code="standard", en16931_code="S")
    LabourRateFactory(code="hour", per_hour=60, tax_category=tax)
    FeeFactory(code="travel", name="Travel", kind=FeeKind.TRAVEL, amount=25, tax_category=tax)
    pins = {}
    for label, (diameter_um, share) in PINS.items():
        pins[label] = PartFactory(
            code=f"pin-{label.replace('.', '-')}",
            name=f"Centre pin {label}",
            category=PartCategory.CENTRE_PIN,
            size_scheme="inch",
            size_label=label,
            diameter_um=diameter_um,
            price=Decimal("0.40"),
            tax_category=tax,
        )
        stock(pins[label], ON_SHELF, Decimal("0.10"))
        PinShareFactory(code=f"share-{label.replace('.', '-')}", size_label=label, share=share)
    set_up = SetUpFactory(
        code="action-out",
        name="Action out",
        actions=["upright"],
        depth=3,
        minutes_low=15,
        minutes_likely=20,
        minutes_high=25,
    )
    repin = RemedyFactory(
        code="repin-hammer",
        name="Repin the hammer flange",
        actions=["upright"],
        set_up=set_up,
        charged_per=ChargedPer.NOTE,
        minutes_low=3,
        minutes_likely=4,
        minutes_high=5,
        takes_pin_kit=True,
        pins_per_note=1,
    )
    flange = ComponentFactory(code="hammer-flange", actions=["upright"])
    return Workshop(
        examination=ExaminationFactory(technician=UserFactory(role="technician")),
        fault=FaultFactory(code="slow-return", name="Slow return", actions=["upright"]),
        cause=CauseFactory(
            code="tight-flange", actions=["upright"], component=flange, remedy=repin
        ),
        repin=repin,
        pins=pins,
    )


@pytest.fixture
def damp(workshop) -> Workshop:
    """The workshop's upright in a damp room, which treating can cure of tight flanges."""
    return make_damp(workshop)


def make_damp(workshop) -> Workshop:
    workshop.room_is(65)
    Cause.objects.filter(pk=workshop.cause.pk).update(
        cured_by_room=True, room_cure_share="0.6", room_damp="0.5", room_in_range="0.15"
    )
    CauseFactory(code="debris", actions=["upright"], remedy__code="remove-debris")
    hygrometer = RemedyPartFactory(
        remedy__code="room-first",
        remedy__name="Room first",
        remedy__charged_per=ChargedPer.INSTRUMENT,
        remedy__treats_room=True,
        remedy__minutes_low=10,
        remedy__minutes_likely=15,
        remedy__minutes_high=20,
        remedy__set_up__code="none",
        remedy__set_up__depth=0,
        remedy__set_up__minutes_low=0,
        remedy__set_up__minutes_likely=0,
        remedy__set_up__minutes_high=0,
        quantity=1,
        part__code="hygrometer",
        part__price=28,
    )
    stock(hygrometer.part, 5, Decimal(14))
    return workshop
