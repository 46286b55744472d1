from decimal import Decimal

import pytest

from diagnostics.models import BenchWork, FittedPart
from shop.models import Place
from tests.factories.diagnostics import BenchWorkFactory, FindingFactory, FittedPartFactory
from tests.factories.shop import MoveFactory, PartFactory, PlaceFactory
from tests.factories.world import main_shelf, stock
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db


def close(bag: Place) -> None:
    for level in bag.levels.filter(quantity__gt=0):
        MoveFactory(
            part=level.part,
            from_place=bag,
            to_place=main_shelf(),
            quantity=level.quantity,
            value=level.quantity,
            reason="unbagged",
        )
    Place.objects.filter(pk=bag.pk).update(is_active=False)


@pytest.mark.parametrize(
    ("rule", "wrong", "right"),
    [
        ("diagnostics_benchwork_result_known", {"result": "better"}, {"result": "improved"}),
        (
            "diagnostics_benchwork_minutes_sensible",
            {"minutes": Decimal("-0.1")},
            {"minutes": 0},
        ),
        (
            "diagnostics_benchwork_minutes_sensible",
            {"minutes": Decimal("1440.1")},
            {"minutes": 1440},
        ),
    ],
)
def test_bench_work_takes_time_and_has_a_result(rule, wrong, right):
    with refused(rule):
        BenchWorkFactory(**wrong)
    with accepted():
        BenchWorkFactory(**right)


@pytest.mark.parametrize("no_bag", ["van", "shelf", "used"])
def test_bench_work_is_done_out_of_a_job_bag(no_bag):
    place = Place.objects.filter(kind=no_bag).first() or PlaceFactory(kind=no_bag)
    with refused("diagnostics_benchwork_bag_open"):
        BenchWorkFactory(bag=place)
    with accepted():
        BenchWorkFactory(bag=PlaceFactory(bag=True))


def test_bench_work_stands_once_the_job_is_closed():
    work, other = BenchWorkFactory(), BenchWorkFactory()
    mine = BenchWork.objects.filter(pk=work.pk)
    with accepted():
        mine.update(minutes=7)
    close(work.bag)
    with refused("diagnostics_benchwork_bag_open"):
        mine.update(minutes=8)
    with refused("diagnostics_benchwork_bag_open"):
        mine.update(bag=other.bag)
    with refused("diagnostics_benchwork_bag_open"):
        mine.delete()
    with refused("diagnostics_benchwork_bag_open"):
        BenchWorkFactory(bag=work.bag)
    with accepted():
        BenchWork.objects.filter(pk=other.pk).delete()


def test_what_was_fitted_stands_once_the_job_is_closed():
    fitted, other = FittedPartFactory(), FittedPartFactory()
    mine = FittedPart.objects.filter(pk=fitted.pk)
    with accepted():
        mine.update(quantity=1)
    close(fitted.bench_work.bag)
    with refused("diagnostics_fittedpart_bag_open"):
        mine.update(quantity=2)
    with refused("diagnostics_fittedpart_bag_open"):
        mine.update(bench_work=other.bench_work)
    with refused("diagnostics_fittedpart_bag_open"):
        mine.delete()
    with refused("diagnostics_fittedpart_bag_open"):
        FittedPartFactory(bench_work=fitted.bench_work, part=PartFactory())
    with accepted():
        FittedPart.objects.filter(pk=other.pk).delete()


@pytest.mark.parametrize("quantity", [0, -1])
def test_what_is_fitted_is_more_than_nothing(quantity):
    with refused("diagnostics_fittedpart_quantity_positive"):
        FittedPartFactory(quantity=quantity)
    with accepted():
        FittedPartFactory(quantity=1)


def test_bench_work_names_a_part_once():
    fitted = FittedPartFactory(quantity=1)
    with refused("diagnostics_fittedpart_once"):
        FittedPartFactory(bench_work=fitted.bench_work, part=fitted.part, quantity=1)
    with accepted():
        FittedPartFactory(bench_work=fitted.bench_work, quantity=1)


def test_only_what_the_bag_holds_is_fitted():
    # The bag holds five, of which two are fitted, three are left.
    fitted = FittedPartFactory(quantity=2)
    second = BenchWorkFactory(bag=fitted.bench_work.bag)
    with refused("diagnostics_fittedpart_in_bag"):
        FittedPartFactory(bench_work=second, part=fitted.part, quantity=4)
    with accepted():
        FittedPartFactory(bench_work=second, part=fitted.part, quantity=3)
    with refused("diagnostics_fittedpart_in_bag"):
        FittedPart.objects.filter(pk=fitted.pk).update(quantity=3)


def test_what_lies_on_the_shelf_is_not_fitted():
    part = PartFactory()
    stock(part, 50, 1)
    work = BenchWorkFactory()
    with refused("diagnostics_fittedpart_in_bag"):
        FittedPartFactory(bench_work=work, part=part, quantity=1)
    stock(part, 1, 1, place=work.bag)
    with accepted():
        FittedPartFactory(bench_work=work, part=part, quantity=1)


def test_work_is_done_on_a_finding_of_its_own_examination():
    work = BenchWorkFactory()
    with refused("diagnostics_benchwork_own_finding"):
        BenchWork.objects.filter(pk=work.pk).update(finding=FindingFactory())
    with accepted():
        own = FindingFactory(examination=work.examination)
        BenchWork.objects.filter(pk=work.pk).update(finding=own)
