import re
from datetime import timedelta
from io import StringIO

from django.core.management import call_command
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from billing.models import Quote, QuoteStatus
from shop.models import FirstAnswer, Level
from tests.factories.billing import QuoteFactory
from tests.factories.shop import FirstAnswerFactory, PartFactory
from tests.factories.world import main_shelf, stock


def daily():
    said = StringIO()
    call_command("daily", stdout=said)
    return said.getvalue()


def test_quotes_past_their_last_day_expire_and_their_parts_go_back(db):
    today = timezone.localdate()
    late = QuoteFactory(valid_until=today - timedelta(days=1))
    last_day, agreed = QuoteFactory(valid_until=today), QuoteFactory(approved=True)
    part = PartFactory()
    stock(part, 5, 1, place=late.bag)

    said = daily()

    assert f"Quote {late.pk} was valid until" in said
    statuses = dict(Quote.objects.values_list("pk", "status"))
    assert statuses == {
        late.pk: QuoteStatus.EXPIRED,
        last_day.pk: QuoteStatus.OFFERED,
        agreed.pk: QuoteStatus.APPROVED,
    }
    assert Level.objects.get(part=part, place=main_shelf()).quantity == 5
    assert Level.objects.get(part=part, place=late.bag).quantity == 0


def test_old_answers_are_forgotten_and_new_ones_kept(db):
    old = FirstAnswerFactory(created_at=timezone.now() - timedelta(days=30))
    new = FirstAnswerFactory(created_at=timezone.now())
    assert "1 old answers forgotten" in daily()
    assert list(FirstAnswer.objects.values_list("pk", flat=True)) == [new.pk] != [old.pk]


def test_the_parts_of_all_late_bags_are_locked_at_once_and_in_order(db):
    # Locked bag by bag, in the order of the quotes, two runs could wait for each other.
    yesterday = timezone.localdate() - timedelta(days=1)
    first, second = PartFactory(), PartFactory()
    for part in (second, first):
        stock(part, 5, 1, place=QuoteFactory(valid_until=yesterday).bag)
    with CaptureQueriesContext(connection) as statements:
        daily()
    (locking, *_) = [each["sql"] for each in statements if "FROM shop_holding" in each["sql"]]
    (parts,) = re.findall(r"\{([\d,]+)\}", locking)
    assert sorted(map(int, parts.split(","))) == [first.pk, second.pk]
    assert "ORDER BY part_id FOR UPDATE" in locking
