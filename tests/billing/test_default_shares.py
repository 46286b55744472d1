"""What a catalogue that is loaded again does to shares that nobody chose."""

from decimal import Decimal

import pytest

from diagnostics.models import CauseCheck
from tests.billing.small_catalogue import catalogue_write, load


@pytest.mark.django_db
def test_links_whose_shares_are_still_the_columns_defaults_take_what_ships(tmp_path):
    load(catalogue_write(tmp_path, causes={"positive_share = 0.9": "positive_share = 0.7"}))
    load(catalogue_write(tmp_path))
    assert [link.positive_share for link in CauseCheck.objects.all()] == [Decimal("0.9")]
    CauseCheck.objects.update(positive_share="0.7")
    load(catalogue_write(tmp_path, causes={"positive_share = 0.9": "positive_share = 0.8"}))
    assert [link.positive_share for link in CauseCheck.objects.all()] == [Decimal("0.7")]
