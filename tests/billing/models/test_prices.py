from datetime import date
from decimal import Decimal

import pytest

from tests.factories.billing import FeeFactory, LabourRateFactory
from tests.refusals import accepted, refused
from tests.shop.models.history import lived_in_raw_sql

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "wrong", "right"),
    [
        ("billing_labourrate_provenance_known", {"provenance": ""}, {"provenance": "shop"}),
        ("billing_labourrate_not_negative", {"per_hour": Decimal("-0.001")}, {"per_hour": 0}),
        (
            "billing_labourrate_ends_after_start",
            {"valid_until": date(2000, 1, 1)},
            {"valid_until": date(2000, 1, 2)},
        ),
        (
            "billing_labourrate_ends_after_start",
            {"valid_until": date(1999, 12, 31)},
            {"valid_until": None},
        ),
    ],
)
def test_a_labour_rate_is_an_amount_of_some_days(rule, wrong, right):
    with refused(rule):
        LabourRateFactory(**wrong)
    with accepted():
        LabourRateFactory(**right)


@pytest.mark.parametrize(
    ("overlapping", "touching"),
    [
        (
            {"valid_from": date(2026, 7, 31), "valid_until": None},
            {"valid_from": date(2026, 8, 1), "valid_until": None},
        ),
        (
            {"valid_from": date(2026, 1, 1), "valid_until": date(2026, 7, 2)},
            {"valid_from": date(2026, 1, 1), "valid_until": date(2026, 7, 1)},
        ),
    ],
    ids=["the next", "the one before"],
)
def test_an_hour_has_one_price_on_a_day(overlapping, touching):
    LabourRateFactory(valid_from=date(2026, 7, 1), valid_until=date(2026, 8, 1))
    with refused("billing_labourrate_no_overlap"):
        LabourRateFactory(**overlapping)
    with accepted():
        LabourRateFactory(**touching)


@pytest.mark.parametrize(
    ("rule", "wrong", "right"),
    [
        ("billing_fee_provenance_known", {"provenance": ""}, {"provenance": "shop"}),
        ("billing_fee_kind_known", {"kind": "parking"}, {"kind": "inspection"}),
        ("billing_fee_not_negative", {"amount": Decimal("-0.001")}, {"amount": 0}),
        (
            "billing_fee_ends_after_start",
            {"valid_until": date(2000, 1, 1)},
            {"valid_until": date(2000, 1, 2)},
        ),
        (
            "billing_fee_ends_after_start",
            {"valid_until": date(1999, 12, 31)},
            {"valid_until": None},
        ),
    ],
)
def test_a_fee_is_an_amount_for_something(rule, wrong, right):
    with refused(rule):
        FeeFactory(**wrong)
    with accepted():
        FeeFactory(**right)


def test_there_is_one_rate_of_a_code_and_one_fee_of_a_code():
    LabourRateFactory(code="hour", valid_until=date(2001, 1, 1))
    with refused("billing_labourrate_code_key"):
        LabourRateFactory(code="hour", valid_from=date(2001, 1, 1))
    with accepted():
        LabourRateFactory(code="evening-hour", valid_from=date(2001, 1, 1))
    FeeFactory(code="coming", kind="travel")
    with refused("billing_fee_code_key"):
        FeeFactory(code="coming", kind="minimum")
    with accepted():
        FeeFactory(code="least", kind="minimum")


def test_there_is_one_fee_of_a_kind_on_a_day():
    FeeFactory(kind="travel", valid_until=date(2026, 7, 1))
    for kind, day in (("travel", date(2026, 7, 1)), ("minimum", date(2026, 6, 30))):
        with refused("billing_fee_no_overlap"):
            FeeFactory(kind="travel", valid_from=date(2026, 6, 30))
        with accepted():
            FeeFactory(kind=kind, valid_from=day)


@pytest.mark.parametrize(
    ("factory", "apart", "column"),
    [
        (
            LabourRateFactory,
            {"code": "another", "valid_from": "1990-01-01", "valid_until": "1999-01-01"},
            "per_hour",
        ),
        (FeeFactory, {"code": "another", "kind": "minimum"}, "amount"),
    ],
)
def test_history_is_kept_of_what_raw_sql_does_to_a_price(factory, apart, column):
    history = lived_in_raw_sql(factory(), apart, column, ["48.000", "52.500"])
    assert history == [("insert", "48.000"), ("update", "52.500"), ("delete", "52.500")]
