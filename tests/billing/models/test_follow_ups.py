from datetime import timedelta

import pytest

from billing.models import FollowUp
from tests.factories.billing import FollowUpFactory, QuoteFactory
from tests.factories.world import TODAY
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db


def test_a_follow_up_is_due_after_the_day_of_its_quote():
    with refused("billing_followup_after_quote"):
        FollowUpFactory(due_on=TODAY)
    with accepted():
        follow_up = FollowUpFactory(due_on=TODAY + timedelta(days=1))
    with refused("billing_followup_after_quote"):
        FollowUp.objects.filter(pk=follow_up.pk).update(due_on=TODAY)


def test_a_quote_has_one_follow_up():
    follow_up = FollowUpFactory()
    with refused("billing_followup_quote_id_key"):
        FollowUpFactory(quote=follow_up.quote)


def test_a_follow_up_stays_with_its_quote():
    follow_up = FollowUpFactory()
    rows = FollowUp.objects.filter(pk=follow_up.pk)
    with refused("billing_followup_quote_fixed"):
        rows.update(quote=QuoteFactory())
    with accepted():
        rows.update(quote=follow_up.quote, due_on=TODAY + timedelta(days=30))


def test_a_follow_up_is_kept():
    follow_up = FollowUpFactory()
    with refused("billing_followup_kept"):
        FollowUp.objects.filter(pk=follow_up.pk).delete()
    assert FollowUp.objects.filter(pk=follow_up.pk).exists()
