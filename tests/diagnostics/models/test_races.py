"""Two connections at once: `owner` is the second one, and neither sees what is not committed."""

from django.db import transaction

from tests.factories.diagnostics import BenchWorkFactory, FittedPartFactory
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
