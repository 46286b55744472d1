"""Routes of the diagnostics app, under /api/v1/."""

from django.urls import re_path

from diagnostics.api.bench_work import BenchWorkViewSet
from diagnostics.api.catalogue import (
    CautionViewSet,
    ComponentViewSet,
    FaultViewSet,
    RemedyViewSet,
    SetUpViewSet,
    ToolViewSet,
)
from diagnostics.api.causes import CauseViewSet, CheckViewSet
from diagnostics.api.centres import ExaminationCentresViewSet
from diagnostics.api.check_results import CheckResultViewSet, ExaminationCheckResultViewSet
from diagnostics.api.comparisons import CureReportViewSet, ExaminationComparisonViewSet
from diagnostics.api.diagnoses import ExaminationDiagnosisViewSet
from diagnostics.api.examinations import ExaminationViewSet
from diagnostics.api.findings import ExaminationFindingViewSet, FindingViewSet
from diagnostics.api.history import InstrumentHistoryViewSet
from diagnostics.api.instrument_readings import InstrumentReadingsViewSet
from diagnostics.api.keyboards import ExaminationKeyboardViewSet, InstrumentKeyboardViewSet
from diagnostics.api.kits import ExaminationWorkViewSet
from diagnostics.api.learning import LearningResetViewSet
from diagnostics.api.next_checks import ExaminationNextChecksViewSet
from diagnostics.api.pin_sizes import PinSizesViewSet, PinTrialViewSet
from diagnostics.api.ranges import MeasuredRangeViewSet
from diagnostics.api.readings import ReadingViewSet
from diagnostics.api.rooms import RoomViewSet
from diagnostics.api.spread import ExaminationSpreadViewSet
from diagnostics.api.touch import ExaminationTouchViewSet
from diagnostics.api.touch_weights import ExaminationTouchWeightViewSet, TouchWeightViewSet
from diagnostics.api.work_sheets import ExaminationWorkSheetViewSet
from diagnostics.pages.work_sheets import ExaminationWorkSheetDocumentViewSet
from shop.http.routers import ShopRouter

OF_EXAMINATION = "examinations/(?P<examination_id>[1-9][0-9]{0,18})"

router = ShopRouter()
router.register("bench-work", BenchWorkViewSet, "bench-work")
router.register("causes", CauseViewSet, "cause")
router.register("cautions", CautionViewSet, "caution")
router.register("check-results", CheckResultViewSet, "check-result")
router.register("checks", CheckViewSet, "check")
router.register("components", ComponentViewSet, "component")
router.register(
    f"{OF_EXAMINATION}/check-results", ExaminationCheckResultViewSet, "examination-check-result"
)
router.register(f"{OF_EXAMINATION}/findings", ExaminationFindingViewSet, "examination-finding")
router.register(
    f"{OF_EXAMINATION}/touch-weights", ExaminationTouchWeightViewSet, "examination-touch-weight"
)
router.register("examinations", ExaminationViewSet, "examination")
router.register("examinations", ExaminationSpreadViewSet, "examination-spread")
router.register("examinations", ExaminationTouchViewSet, "examination-touch")
router.register("examinations", ExaminationCentresViewSet, "examination-centre")
router.register("examinations", ExaminationDiagnosisViewSet, "examination-diagnosis")
router.register("examinations", ExaminationNextChecksViewSet, "examination-next-checks")
router.register("examinations", ExaminationWorkSheetViewSet, "examination-work-sheet")
router.register(
    "examinations", ExaminationWorkSheetDocumentViewSet, "examination-work-sheet-document"
)
router.register("examinations", ExaminationWorkViewSet, "examination-work")
router.register("examinations", ExaminationComparisonViewSet, "examination-comparison")
router.register("examinations", ExaminationKeyboardViewSet, "examination-keyboard")
router.register("faults", FaultViewSet, "fault")
router.register("findings", FindingViewSet, "finding")
router.register("instruments", InstrumentHistoryViewSet, "instrument")
router.register("instruments", InstrumentKeyboardViewSet, "instrument-keyboard")
router.register("instruments", InstrumentReadingsViewSet, "instrument-reading")
router.register("instruments", RoomViewSet, "instrument-room")
router.register("learning-resets", LearningResetViewSet, "learning-reset")
router.register("measured-ranges", MeasuredRangeViewSet, "measured-range")
router.register("readings", ReadingViewSet, "reading")
router.register("remedies", RemedyViewSet, "remedy")
router.register("set-ups", SetUpViewSet, "set-up")
router.register("tools", ToolViewSet, "tool")
router.register("touch-weights", TouchWeightViewSet, "touch-weight")

cure_report = CureReportViewSet.as_view({"get": "cure_report"})
pin_sizes = PinSizesViewSet.as_view({"get": "pin_sizes"})
pin_trial = PinTrialViewSet.as_view({"get": "pin_trial"})

urlpatterns = [
    *router.urls,
    re_path("^cure-report/?$", cure_report, name="cure-report"),
    re_path("^pin-sizes/?$", pin_sizes, name="pin-sizes"),
    re_path("^pin-trial/?$", pin_trial, name="pin-trial"),
]
