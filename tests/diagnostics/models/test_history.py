import pytest

from tests.factories.diagnostics import FindingFactory
from tests.shop.models.history import lived_in_raw_sql

pytestmark = pytest.mark.django_db


def test_history_is_kept_of_what_raw_sql_does_to_a_finding():
    history = lived_in_raw_sql(
        FindingFactory(), {"note_midi": 61}, "severity", ["slight", "severe"]
    )
    assert history == [("insert", "slight"), ("update", "severe"), ("delete", "severe")]
