"""Parts' prices from a day on."""

from datetime import timedelta

import pytest
from django.utils import timezone

from shop.models import PartPrice
from tests.factories.shop import PartFactory
from tests.shop.api.conftest import code_of, wrong


def day(later):
    return (timezone.localdate() + timedelta(days=later)).isoformat()


def test_a_price_entered_ahead_holds_from_its_day_on(office):
    part = PartFactory(code="glue", price="2.00")
    made = office.post("part-prices", {"part": "glue", "price": "2.2500", "valid_from": day(1)})
    assert made == {
        "id": PartPrice.objects.get().pk,
        "part": "glue",
        "price": "2.25",
        "valid_from": day(1),
    }
    assert office.get("parts/glue")["price"] == "2.00"
    office.change(f"part-prices/{made['id']}", {"valid_from": day(0)})
    assert office.get("parts/glue")["price"] == "2.25"
    assert [row["id"] for row in office.get("part-prices?part=glue")["items"]] == [made["id"]]
    assert office.get(f"part-prices?valid_from_after={day(1)}")["items"] == []
    office.remove(f"part-prices/{made['id']}")
    assert office.get("parts/glue")["price"] == "2.00"
    assert part.prices.count() == 0


def test_a_price_that_is_changed_with_the_part_holds_from_today(office):
    part = PartFactory(code="glue", price="2.00")
    for price in ("2.10", "2.20"):
        assert office.change("parts/glue", {"price": price, "name": "Hide glue"})["price"] == price
    prices = part.prices.values_list("valid_from", "price")
    assert [(when.isoformat(), str(price)) for when, price in prices] == [(day(0), "2.2000")]
    part.refresh_from_db()
    assert (part.name, str(part.price)) == ("Hide glue", "2.0000")


def test_two_prices_of_a_part_do_not_begin_on_the_same_day(office):
    PartFactory(code="glue")
    body = {"part": "glue", "price": "2", "valid_from": "2026-01-01"}
    office.post("part-prices", body)
    assert code_of(office.post("part-prices", body, 409)) == "price-overlaps"


@pytest.mark.parametrize(
    ("field", "value", "code"),
    [
        ("part", "harp", "does-not-exist"),
        ("price", "-1", "min-value"),
        ("price", "0.00001", "max-decimal-places"),
        ("valid_from", "2026-02-30", "invalid"),
    ],
)
def test_a_price_with_a_value_that_cannot_be_right_is_refused(office, field, value, code):
    PartFactory(code="glue")
    body = {"part": "glue", "price": "2", "valid_from": "2026-01-01"}
    assert (f"/{field}", code) in wrong(office.post("part-prices", {**body, field: value}, 400))
    assert not PartPrice.objects.exists()
