from concurrent.futures import ThreadPoolExecutor
from threading import Barrier

from django.db import connection, transaction

from diagnostics.actions.findings import FindingDraft, findings_record
from diagnostics.models import Finding
from diagnostics.queries.examinations import examinations_locked
from shop.errors import Refused
from tests.factories.diagnostics import ExaminationFactory, FaultFactory

POSTS = 6


def test_of_the_same_findings_posted_at_once_one_post_is_stored(committed_database):
    examination = ExaminationFactory()
    FaultFactory(code="slow-return")
    together = Barrier(POSTS)
    drafts = [FindingDraft(pointer="/0", note="C4-B4", fault="slow-return")]

    def post(_):
        together.wait(timeout=10)
        try:
            with transaction.atomic():
                locked = examinations_locked().get(pk=examination.pk)
                findings_record(examination=locked, drafts=drafts, naming="scientific")
        except Refused as refusal:
            return refusal.code
        finally:
            connection.close()
        return "stored"

    with ThreadPoolExecutor(POSTS) as pool:
        answers = sorted(pool.map(post, range(POSTS)))
    assert answers == ["finding-exists"] * (POSTS - 1) + ["stored"]
    assert Finding.objects.count() == 12
