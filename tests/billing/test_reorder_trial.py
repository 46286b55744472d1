import re
from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from shop.models import Move
from tests.factories.shop import PartFactory

pytestmark = pytest.mark.django_db
ROW = re.compile(r"  (.+?) +([\d.]+)% +([\d.]+)% +(\d+) +(\d+) +(\d+) +(\d+)")


def trial(*arguments):
    told, progress = StringIO(), StringIO()
    call_command("reorder_trial", *arguments, stdout=told, stderr=progress)
    rows = [ROW.fullmatch(line) for line in told.getvalue().splitlines()[2:]]
    return {row[1]: [float(number) for number in row.groups()[1:]] for row in rows}, progress


@pytest.fixture
def parts():
    for number in range(1, 41):
        PartFactory(code=f"part-{number}", pack_quantity=100, cost="0.10", lead_time_days=10)
    PartFactory(code="cloth", unit="metre", cost=20)


def test_stock_lasts_in_as_many_lead_times_as_was_asked_for(parts):
    rows, _ = trial("--seed", "4", "--years", "5", "--service-level", "80", "98")
    lasted = {name: numbers[0] for name, numbers in rows.items()}
    # Some 160 lead times: a standard error of 3 % at 80 %, and of 1 % at 98 %.
    assert lasted["forecast, 80 %"] == pytest.approx(80, abs=9)
    assert lasted["forecast, 98 %"] == pytest.approx(98, abs=3)


def test_more_service_takes_more_stock_and_the_bins_take_more_orders(parts):
    rows, _ = trial("--years", "3", "--service-level", "80", "98")
    _, _, value, _, lines, _ = zip(*rows.values(), strict=True)
    assert value[1] < value[2]
    assert lines[0] > max(lines[1:])


def test_the_same_seed_draws_the_same_and_another_does_not(parts):
    short = ("--years", "2", "--service-level", "95")
    first, again = (trial("--seed", "7", *short)[0] for _ in range(2))
    assert first == again
    assert trial("--seed", "8", *short)[0] != first


def test_it_says_how_far_it_is_and_stores_nothing(parts):
    _, progress = trial("--years", "2", "--service-level", "95")
    assert progress.getvalue().splitlines() == ["20 of 41 parts", "40 of 41 parts"] * 2
    assert not Move.objects.exists()


@pytest.mark.parametrize(
    "arguments",
    [
        ["--years", "1"],
        ["--years", "many"],
        ["--service-level", "49"],
        ["--service-level", "nearly"],
        ["--seed", "x"],
    ],
)
def test_what_makes_no_sense_is_refused(parts, arguments):
    with pytest.raises(CommandError):
        trial(*arguments)


def test_without_parts_it_says_what_to_do():
    with pytest.raises(CommandError, match="load_catalogue"):
        trial()
