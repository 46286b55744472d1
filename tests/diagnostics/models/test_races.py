"""Two connections at once: `owner` is the second one, and neither sees what is not committed."""

from datetime import timedelta

from django.db import transaction

from diagnostics.models import Examination
from tests.factories.diagnostics import BenchWorkFactory, ExaminationFactory, FittedPartFactory
from tests.factories.shop import PartFactory
from tests.factories.world import stock
from tests.refusals import accepted, kept_waiting, refused


def test_two_technicians_do_not_fit_the_same_last_pin(committed_database):
    first = BenchWorkFactory()
    second = BenchWorkFactory(bag=first.bag)
    pin = stock(PartFactory(), 3, 1, place=first.bag).part
    fitted = FittedPartFactory.build(bench_work=second, part=pin, quantity=2)
    with transaction.atomic():
        FittedPartFactory(bench_work=first, part=pin, quantity=2)
        with kept_waiting("owner"):
            fitted.save(using="owner")
    with refused("diagnostics_fittedpart_in_bag", using="owner"):
        fitted.save(using="owner")
    fitted.quantity = 1
    with accepted(using="owner"):
        fitted.save(using="owner")


def test_what_is_followed_does_not_move_in_time_while_its_follow_up_is_written(
    committed_database,
):
    first = ExaminationFactory()
    later = first.examined_at + timedelta(days=14)
    moved = Examination.objects.using("owner").filter(pk=first.pk)
    with transaction.atomic():
        ExaminationFactory(follows=first, instrument=first.instrument, examined_at=later)
        with kept_waiting("owner"):
            moved.update(examined_at=later)
    with refused("diagnostics_examination_followed_later", using="owner"):
        moved.update(examined_at=later)


def test_a_follow_up_is_not_written_while_what_it_follows_moves_in_time(committed_database):
    first = ExaminationFactory()
    later = first.examined_at + timedelta(days=14)
    again = ExaminationFactory.build(
        follows=first,
        instrument=first.instrument,
        technician=first.technician,
        examined_at=later,
    )
    with transaction.atomic():
        Examination.objects.filter(pk=first.pk).update(examined_at=later)
        with kept_waiting("owner"):
            again.save(using="owner")
    with refused("diagnostics_examination_follows_earlier", using="owner"):
        again.save(using="owner")
