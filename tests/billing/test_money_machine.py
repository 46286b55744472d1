"""Money is neither lost nor counted twice, in whatever order things happen."""

import pytest
from hypothesis import HealthCheck, settings
from hypothesis.stateful import run_state_machine_as_test

from tests.billing.money_machine import MoneyMachine


@pytest.mark.django_db
def test_no_order_of_events_loses_money_or_makes_any():
    run_state_machine_as_test(
        MoneyMachine,
        settings=settings(
            max_examples=8,
            stateful_step_count=30,
            derandomize=True,
            suppress_health_check=list(HealthCheck),
        ),
    )
