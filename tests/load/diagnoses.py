"""The diagnosis of a large examination: 88 bad notes, 200 findings, 60 results of checks."""

import statistics
from io import StringIO
from random import Random
from time import process_time

from django.core.management import call_command
from django.db import connection
from django.test.utils import CaptureQueriesContext

from diagnostics.api.diagnoses import DiagnosisOutput
from diagnostics.models import Check, CheckResult, Examination, Fault, Finding, Outcome
from diagnostics.queries.diagnoses import examination_diagnosis
from tests.factories.diagnostics import ExaminationFactory, RoomReadingFactory
from tests.factories.shop import InstrumentFactory

FINDINGS, RESULTS, READINGS = 200, 60, 20
WHOLE = ("global", "t1", "t2-grand", "t3", "lift-45")
NOTES = range(21, 109)


def large_examination() -> Examination:
    """Return an examination of an old grand in which every note is bad in its own way."""
    call_command("load_catalogue", stdout=StringIO())
    random = Random(1)
    on = ExaminationFactory(instrument=InstrumentFactory(grand=True, built_year=1950))
    faults = list(Fault.objects.filter(actions__contains=["grand"]).order_by("code"))
    found = {(midi, fault) for midi in NOTES for fault in random.sample(faults, 2)}
    while len(found) < FINDINGS:
        found.add((random.choice(NOTES), random.choice(faults)))
    Finding.objects.bulk_create(
        Finding(examination=on, note_midi=midi, fault=fault) for midi, fault in found
    )
    checks = {check.code: check for check in Check.objects.filter(actions__contains=["grand"])}
    made: set[tuple[int | None, str]] = {(None, code) for code in WHOLE}
    while len(made) < RESULTS:
        made.add((random.choice(NOTES), random.choice(sorted(checks.keys() - set(WHOLE)))))
    CheckResult.objects.bulk_create(
        CheckResult(
            examination=on,
            check_made=checks[code],
            note_midi=midi,
            outcome=random.choice([Outcome.POSITIVE, Outcome.NEGATIVE]),
        )
        for midi, code in made
    )
    RoomReadingFactory.create_batch(READINGS, instrument=on.instrument)
    return Examination.objects.select_related("instrument").get(pk=on.pk)


def measured_diagnosis(rounds: int) -> tuple[float, int]:
    """Return the median milliseconds of Python for a diagnosis and its answer, and statements."""
    on = large_examination()
    took_ms = []
    for _ in range(rounds):
        start = process_time()
        DiagnosisOutput(examination_diagnosis(on)).data  # noqa: B018 (what the answer costs)
        took_ms.append((process_time() - start) * 1000)
    with CaptureQueriesContext(connection) as captured:
        examination_diagnosis(on)
    return statistics.median(took_ms), len(captured)
