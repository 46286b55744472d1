"""The room an instrument stands in: what its air holds, and whether it explains tight cloth."""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum

from diagnostics.rules.formulas import Formula
from diagnostics.rules.wood import (
    EQUILIBRIUM,
    equilibrium_is_extrapolated,
    equilibrium_moisture_percent,
    humidity_for_moisture_percent,
)

# A reading tells of the room for this long, and wood and cloth remember a swing for this long.
# Both are estimates: no measured figure was found, and advice runs from days to weeks.
CURRENT = timedelta(days=7)
RECENT = timedelta(days=42)
# A rise that is felt: about what 42 to 55 % at 20 °C gives. Estimate.
SWING_PERCENT = 2.0
FORMULAS = (
    EQUILIBRIUM,
    Formula(
        "a reading tells of 7 days, a swing is felt for 42, a rise of 2 points is much", "estimate"
    ),
)
# Constants of the Magnus formula over water, -45 to 60 °C.
MAGNUS_HPA, MAGNUS_FACTOR, MAGNUS_C = 6.112, 17.62, 243.12
GAS_CONSTANT_OF_VAPOUR = 461.5  # J/(kg K)
AIR_FORMULAS = (
    Formula("dew point, Magnus formula over water", "WMO-No. 8, Annex 4.B"),
    Formula("absolute humidity, ideal gas law", "461.5 J/(kg K) for water vapour"),
)


def vapour_pressure_hpa(temperature_c: float, humidity_percent: float) -> float:
    """Return the pressure of the water vapour in the air, in hPa.

    Source: WMO-No. 8, Guide to Instruments and Methods of Observation, Annex 4.B (Magnus formula
    over water); relative humidity is over water below freezing too, as hygrometers read it.
    """
    saturated = MAGNUS_HPA * math.exp(MAGNUS_FACTOR * temperature_c / (MAGNUS_C + temperature_c))
    return saturated * humidity_percent / 100


def dew_point_c(temperature_c: float, humidity_percent: float) -> float:
    """Return the temperature at which the air's vapour condenses, over water.

    Source: as `vapour_pressure_hpa`, solved for the temperature.

    Raises:
        ValueError: air without vapour has no dew point.
    """
    if humidity_percent <= 0:
        raise ValueError("Air of 0 % humidity has no dew point.")
    ratio = math.log(vapour_pressure_hpa(temperature_c, humidity_percent) / MAGNUS_HPA)
    return MAGNUS_C * ratio / (MAGNUS_FACTOR - ratio)


def absolute_humidity_g_m3(temperature_c: float, humidity_percent: float) -> float:
    """Return the grams of water vapour in a cubic metre of air.

    Source: the ideal gas law, with 461.5 J/(kg K) for water vapour.
    """
    pressure_pa = vapour_pressure_hpa(temperature_c, humidity_percent) * 100
    return 1000 * pressure_pa / (GAS_CONSTANT_OF_VAPOUR * (temperature_c + 273.15))


@dataclass(frozen=True)
class Reading:
    """Temperature and relative humidity at one time, or their means over a day."""

    taken_at: datetime
    temperature_c: float
    humidity_percent: float

    @property
    def moisture_percent(self) -> float:
        """The moisture content that wood settles at in this air."""
        return equilibrium_moisture_percent(self.temperature_c, self.humidity_percent)

    @property
    def dew_point_c(self) -> float:
        """The dew point of this air."""
        return dew_point_c(self.temperature_c, self.humidity_percent)

    @property
    def absolute_humidity_g_m3(self) -> float:
        """The grams of water vapour in a cubic metre of this air."""
        return absolute_humidity_g_m3(self.temperature_c, self.humidity_percent)

    @property
    def is_extrapolated(self) -> bool:
        """Whether this air lies outside the table that the equation for wood was made from."""
        return equilibrium_is_extrapolated(self.temperature_c, self.humidity_percent)


@dataclass(frozen=True)
class RoomDay:
    """The readings of a day: their mean, taken when the last of them was, and their ends."""

    on: date
    readings_count: int
    mean: Reading
    lowest_temperature_c: float
    highest_temperature_c: float
    lowest_humidity_percent: float
    highest_humidity_percent: float


@dataclass(frozen=True)
class HumidityLimits:
    """The relative humidities that a shop aims at and accepts, in percent."""

    target_percent: float
    lowest_percent: float
    highest_percent: float


class RoomState(StrEnum):
    """What the room is like now, and what it was lately.

    SWUNG is in range now, but the room was damp or came up from much dryer in the last weeks.
    """

    UNKNOWN = "unknown"
    DRY = "dry"
    IN_RANGE = "in_range"
    DAMP = "damp"
    SWUNG = "swung"


@dataclass(frozen=True)
class RoomEvidence:
    """The numbers behind a verdict.

    `now` is the newest reading; `dryest` and `dampest` are those of the last 42 days by moisture
    content. `target_moisture_percent` is what wood settles at in the shop's target at the present
    temperature.
    """

    now: Reading
    dryest: Reading
    dampest: Reading
    target_moisture_percent: float

    @property
    def above_target_percent(self) -> float:
        """How many points of moisture content the wood goes to above the target's."""
        return self.now.moisture_percent - self.target_moisture_percent

    @property
    def rise_percent(self) -> float:
        """How many points of moisture content the wood comes up from the dryest reading."""
        return self.now.moisture_percent - self.dryest.moisture_percent


@dataclass(frozen=True)
class WantedHumidity:
    """The relative humidity that gives wood a wanted moisture content at a temperature."""

    moisture_percent: float
    temperature_c: float
    humidity_percent: float
    formula: Formula = EQUILIBRIUM


def wanted_humidity(temperature_c: float, moisture_percent: float) -> WantedHumidity:
    """Return the humidity to aim at.

    Raises:
        ValueError: no humidity gives it at this temperature.
    """
    humidity = humidity_for_moisture_percent(temperature_c, moisture_percent)
    return WantedHumidity(moisture_percent, temperature_c, humidity)


@dataclass(frozen=True)
class RoomVerdict:
    """Whether the room explains tight cloth and wood at `at`, with what it rests on.

    `readings_count` is that of the last 42 days; `evidence` is None while the state is unknown.
    """

    state: RoomState
    explains_tight_cloth: bool
    sentence: str
    at: datetime
    limits: HumidityLimits
    readings_count: int
    evidence: RoomEvidence | None = None
    formulas: tuple[Formula, ...] = FORMULAS


def room_verdict(
    readings: Iterable[Reading], *, at: datetime, limits: HumidityLimits
) -> RoomVerdict:
    """Return what the room was like at `at`, by the readings of the 42 days before it.

    `readings` come in any order; those outside the 42 days are passed over.
    """
    lately = [each for each in readings if at - RECENT <= each.taken_at <= at]
    now = max(lately, key=lambda each: each.taken_at, default=None)
    if now is None or now.taken_at < at - CURRENT:
        return RoomVerdict(
            state=RoomState.UNKNOWN,
            explains_tight_cloth=False,
            sentence=f"No reading of the {CURRENT.days} days before; measure the room first.",
            at=at,
            limits=limits,
            readings_count=len(lately),
        )
    evidence = RoomEvidence(
        now=now,
        dryest=min(lately, key=lambda each: each.moisture_percent),
        dampest=max(lately, key=lambda each: each.moisture_percent),
        target_moisture_percent=equilibrium_moisture_percent(
            now.temperature_c, limits.target_percent
        ),
    )
    state = _state(evidence, limits)
    return RoomVerdict(
        state=state,
        explains_tight_cloth=state in {RoomState.DAMP, RoomState.SWUNG},
        sentence=_sentence(state, evidence, limits, len(lately)),
        at=at,
        limits=limits,
        readings_count=len(lately),
        evidence=evidence,
    )


def _was_damp(evidence: RoomEvidence, limits: HumidityLimits) -> bool:
    return evidence.dampest.humidity_percent > limits.highest_percent


def _state(evidence: RoomEvidence, limits: HumidityLimits) -> RoomState:
    if evidence.now.humidity_percent > limits.highest_percent:
        return RoomState.DAMP
    if evidence.now.humidity_percent < limits.lowest_percent:
        return RoomState.DRY
    if _was_damp(evidence, limits) or evidence.rise_percent >= SWING_PERCENT:
        return RoomState.SWUNG
    return RoomState.IN_RANGE


def _sentence(state: RoomState, evidence: RoomEvidence, limits: HumidityLimits, count: int) -> str:
    now = f"{evidence.now.humidity_percent:.0f} %"
    wood = (
        f"wood goes to {evidence.now.moisture_percent:.1f} % moisture content, and at the target"
        f" of {limits.target_percent:g} % to {evidence.target_moisture_percent:.1f} %"
    )
    match state:
        case RoomState.DAMP:
            return (
                f"{now} is above the highest of {limits.highest_percent:g} %: {wood}. The room"
                " explains tight cloth and wood; treat it first."
            )
        case RoomState.DRY:
            return (
                f"{now} is below the lowest of {limits.lowest_percent:g} %: {wood}. The room does"
                " not explain tight cloth; expect loose screws and rattles."
            )
        case RoomState.SWUNG:
            was = evidence.dampest if _was_damp(evidence, limits) else evidence.dryest
            return (
                f"{now} is in range, but in the last {RECENT.days} days the room was at"
                f" {was.humidity_percent:.0f} % ({was.taken_at:%Y-%m-%d}): wood came from"
                f" {was.moisture_percent:.1f} to {evidence.now.moisture_percent:.1f} %. That swing"
                " may explain tight cloth and wood."
            )
        case _:
            caveat = " One reading says nothing of the weeks before." if count == 1 else ""
            return f"{now} is in range: {wood}. The room does not explain tight cloth.{caveat}"
