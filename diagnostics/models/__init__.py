"""The tables of the diagnostics app, one file per family of nouns."""

from diagnostics.models.bench_work import BenchWork, FittedPart, WorkResult
from diagnostics.models.catalogue import (
    Caution,
    ChargedPer,
    Check,
    Component,
    Fault,
    FaultFamily,
    PinShare,
    Remedy,
    RemedyPart,
    SetUp,
    Tool,
)
from diagnostics.models.causes import Cause, CauseCheck, CauseFault, FoundOn
from diagnostics.models.examinations import Examination, ReadingPlace, RoomReading
from diagnostics.models.findings import (
    BELIEVABLE,
    CheckResult,
    Finding,
    Measurement,
    Outcome,
    Severity,
    SwingsCounted,
)
from diagnostics.models.learning import LearningReset
from diagnostics.models.quantities import Quantity
from diagnostics.models.ranges import MeasuredRange, RangedQuantity, Register
from diagnostics.models.touch_weights import TouchWeight

__all__ = [
    "BELIEVABLE",
    "BenchWork",
    "Cause",
    "CauseCheck",
    "CauseFault",
    "Caution",
    "ChargedPer",
    "Check",
    "CheckResult",
    "Component",
    "Examination",
    "Fault",
    "FaultFamily",
    "Finding",
    "FittedPart",
    "FoundOn",
    "LearningReset",
    "MeasuredRange",
    "Measurement",
    "Outcome",
    "PinShare",
    "Quantity",
    "RangedQuantity",
    "ReadingPlace",
    "Register",
    "Remedy",
    "RemedyPart",
    "RoomReading",
    "SetUp",
    "Severity",
    "SwingsCounted",
    "Tool",
    "TouchWeight",
    "WorkResult",
]
