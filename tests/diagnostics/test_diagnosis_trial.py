from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.db import connection
from django.test.utils import CaptureQueriesContext

pytestmark = pytest.mark.django_db


def trial(**options):
    printed, told = StringIO(), StringIO()
    call_command("diagnosis_trial", stdout=printed, stderr=told, **options)
    return printed.getvalue(), told.getvalue()


def test_a_trial_scores_both_kinds_of_figures_and_the_same_seed_gives_the_same():
    call_command("load_catalogue", stdout=StringIO())
    with CaptureQueriesContext(connection) as captured:
        printed, _ = trial(seed=3, instruments=12)
    assert "Drawn from the catalogue's own figures" in printed
    assert "Drawn from figures that are off by 0.7" in printed
    for words in ("before any check", "came true", "fixed order", "minutes saved"):
        assert printed.count(words) == 2
    assert trial(seed=3, instruments=12)[0] == printed
    assert not [each for each in captured if not each["sql"].lstrip().startswith("SELECT")]


def test_a_trial_tells_how_far_it_is():
    call_command("load_catalogue", stdout=StringIO())
    _, told = trial(instruments=200)
    assert told.splitlines() == [
        "own figures: 100 of 100 instruments",
        "off figures: 100 of 100 instruments",
    ]


def test_without_a_catalogue_there_is_nothing_to_try():
    with pytest.raises(CommandError, match="run load_catalogue first"):
        trial(instruments=1)


@pytest.mark.parametrize("instruments", ["0", "-1", "many"])
def test_so_many_instruments_cannot_be_drawn(instruments):
    with pytest.raises(CommandError, match="whole number above 0"):
        call_command("diagnosis_trial", f"--instruments={instruments}")
