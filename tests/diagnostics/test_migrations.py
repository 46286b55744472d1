"""What a shop keeps when it takes a newer version of the program."""

from decimal import Decimal

import pytest
from django.core.management import call_command
from django.db import connections

from diagnostics.models import CauseCheck
from tests.billing.small_catalogue import catalogue_write, load

ROW = (
    "INSERT INTO diagnostics_{} (code, name, provenance, source, shipped_digest, actions{}) VALUES"
)


def test_causes_keep_their_checks_and_faults_when_these_get_shares(committed_database):
    call_command("migrate", "diagnostics", "0001", verbosity=0)
    with connections["owner"].cursor() as cursor:
        cursor.execute("SELECT count(*) FROM diagnostics_cause_checks")
        assert cursor.fetchone() == (0,)
        cursor.execute(
            f"""
            {ROW.format("component", "")} ('jack', 'Jack', 'shop', '', '', '{{grand}}');
            {ROW.format("fault", ", letter, description")}
                ('dead', 'Dead', 'shop', '', '', '{{grand}}', 'X', '');
            {ROW.format("setup", ", depth, minutes_low, minutes_likely, minutes_high")}
                ('out', 'Out', 'shop', '', '', '{{grand}}', 1, 1, 2, 3);
            {
                ROW.format(
                    "check",
                    ", scope, instruction, reads_as, set_up_id, minutes_low,"
                    " minutes_likely, minutes_high",
                )
            }
                ('rise', 'Rise', 'shop', '', '', '{{grand}}', 'note', 'Watch.', '', 1, 1, 2, 3);
            {
                ROW.format(
                    "remedy",
                    ", description, charged_per, takes_pin_kit, pins_per_note,"
                    " set_up_id, minutes_low, minutes_likely, minutes_high",
                )
            }
                ('pin', 'Pin', 'shop', '', '', '{{grand}}', '', 'note', false, 0, 1, 1, 2, 3);
            {ROW.format("cause", ", signs, clearing_test, component_id, remedy_id")}
                ('tight', 'Tight', 'shop', '', '', '{{grand}}', 'Slow.', '', 1, 1);
            INSERT INTO diagnostics_cause_checks (cause_id, check_id) VALUES (1, 1);
            INSERT INTO diagnostics_cause_faults (cause_id, fault_id) VALUES (1, 1);
            """
        )
    call_command("migrate", "diagnostics", "0002", verbosity=0)
    # The defaults of the columns: estimates.
    assert shown("SELECT positive_share FROM diagnostics_causecheck") == ["0.7000"]
    assert shown("SELECT share FROM diagnostics_causefault") == ["0.4000"]
    assert shown("SELECT prior_weight FROM diagnostics_cause") == ["0.0100"]


def shown(query):
    with connections["owner"].cursor() as cursor:
        cursor.execute(query)
        return [str(value) for (value,) in cursor.fetchall()]


@pytest.mark.django_db
def test_links_whose_shares_are_still_the_columns_defaults_take_what_ships(tmp_path):
    load(catalogue_write(tmp_path, causes={"positive_share = 0.9": "positive_share = 0.7"}))
    load(catalogue_write(tmp_path))
    assert [link.positive_share for link in CauseCheck.objects.all()] == [Decimal("0.9")]
    CauseCheck.objects.update(positive_share="0.7")
    load(catalogue_write(tmp_path, causes={"positive_share = 0.9": "positive_share = 0.8"}))
    assert [link.positive_share for link in CauseCheck.objects.all()] == [Decimal("0.7")]
