import pytest
from django.db import connections

from diagnostics.models import LearningReset
from tests.factories.diagnostics import CheckFactory, LearningResetFactory
from tests.refusals import accepted, refused


@pytest.mark.django_db
def test_a_reset_stays_as_it_was_asked_for():
    reset = LearningResetFactory()
    with refused("diagnostics_learningreset_append_only"):
        LearningReset.objects.update(reason="Somebody else's")
    with refused("diagnostics_learningreset_append_only"):
        reset.delete()
    with accepted():
        LearningResetFactory()


@pytest.mark.django_db(databases=["default", "owner"])
def test_resets_cannot_be_emptied():
    with (
        refused("diagnostics_learningreset_no_truncate", using="owner"),
        connections["owner"].cursor() as cursor,
    ):
        cursor.execute("TRUNCATE diagnostics_learningreset CASCADE")


@pytest.mark.django_db
def test_a_check_measures_quantities_that_findings_have():
    with refused("diagnostics_check_measures_known"):
        CheckFactory(measures=["loudness"])
    with accepted():
        CheckFactory(measures=["swings", "friction_g"])
