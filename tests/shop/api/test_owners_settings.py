"""What the owner alone changes: taxes and the shop's profile."""

import pytest

from shop.models import ShopProfile, TaxCategory, TaxRate
from tests.factories.shop import PartFactory, TaxCategoryFactory, TaxRateFactory
from tests.shop.api.conftest import code_of, wrong

REDUCED = {
    "code": "reduced",
    "name": "Reduced rate",
    "en16931_code": "S",
    "exemption_reason": "",
}


def test_a_tax_category_is_added_read_changed_and_removed(owner):
    made = owner.post("tax-categories", REDUCED)
    assert made == {
        "id": TaxCategory.objects.get(code="reduced").pk,
        **REDUCED,
        "provenance": "shop",
        "source": "",
    }
    changed = owner.change("tax-categories/reduced", {"name": "Lower rate"})
    assert changed == {**made, "name": "Lower rate"}
    assert code_of(owner.post("tax-categories", REDUCED, 409)) == "already-exists"
    owner.remove("tax-categories/reduced")
    assert not TaxCategory.objects.filter(code="reduced").exists()


def test_a_tax_category_of_parts_is_not_removed(owner):
    code = PartFactory().tax_category.code
    assert code_of(owner.remove(f"tax-categories/{code}", 409)) == "in-use"


def test_a_tax_code_that_the_standard_lacks_is_refused(owner):
    problem = owner.post("tax-categories", {**REDUCED, "en16931_code": "Q"}, 400)
    assert wrong(problem) == [("/en16931_code", "invalid-choice")]


def test_a_rate_is_added_read_ended_and_removed(owner):
    category = TaxCategoryFactory()
    body = {
        "category": category.code,
        "country": "",
        "region": "",
        "percent": "17.500",
        "valid_from": "2026-01-01",
        "valid_until": None,
    }
    made = owner.post("tax-rates", body)
    assert made == {"id": TaxRate.objects.get().pk, **body}
    path = f"tax-rates/{made['id']}"
    assert owner.change(path, {"valid_until": "2027-01-01"})["valid_until"] == "2027-01-01"
    found = owner.get(f"tax-rates?category={category.code}")["items"]
    assert [row["id"] for row in found] == [made["id"]]
    assert owner.get("tax-rates?category=none")["items"] == []
    owner.remove(path)
    assert not TaxRate.objects.exists()


def test_two_rates_of_a_category_do_not_hold_on_the_same_day(owner):
    rate = TaxRateFactory()
    body = {"category": rate.category.code, "percent": "20", "valid_from": "2026-01-01"}
    assert code_of(owner.post("tax-rates", body, 409)) == "rate-overlaps"
    assert TaxRate.objects.count() == 1


@pytest.mark.parametrize(
    ("field", "value", "code"),
    [
        ("percent", "100.001", "max-value"),
        ("percent", "-1", "min-value"),
        ("percent", "1e9", "max-digits"),
        ("valid_from", "2026-02-30", "invalid"),
        ("category", "none", "does-not-exist"),
    ],
)
def test_a_rate_with_a_value_that_cannot_be_right_is_refused(owner, field, value, code):
    body = {"category": TaxCategoryFactory().code, "percent": "20", "valid_from": "2026-01-01"}
    assert (f"/{field}", code) in wrong(owner.post("tax-rates", {**body, field: value}, 400))
    assert not TaxRate.objects.exists()


def test_the_shops_profile_is_read_by_all_and_changed_by_the_owner(technician, owner):
    before = technician.get("shop-profile")
    assert set(before) == {
        *("name", "street", "city", "postcode", "country", "email", "phone"),
        *("is_tax_registered", "tax_number", "prices_include_tax", "iban"),
        *("quote_validity_days", "quote_terms", "deposit_percent"),
        *("change_tolerance_percent", "change_tolerance_amount", "warranty_days"),
        "payment_days",
        *("payment_terms", "late_interest_percent", "tax_rounding"),
        *("books_certain_payments", "aged_days"),
        *("pin_size_scheme", "kit_confidence", "quotes_by_bench_work", "cause_sure_percent"),
        "settle_days",
        *("humidity_target_percent", "humidity_lowest_percent", "humidity_highest_percent"),
        *("service_level_percent", "stock_review_days", "order_cost", "holding_cost_percent"),
        *("paper_size", "language"),
    }
    changes = {"name": "Reedham Pianos", "pin_size_scheme": "metric"}
    after = owner.change("shop-profile", {**changes, "labour_cost_per_hour": "31.5"})
    assert after == {**before, **changes, "labour_cost_per_hour": "31.50"}
    assert technician.get("shop-profile") == {**before, **changes}
    assert ShopProfile.objects.get().name == "Reedham Pianos"
    technician.change("shop-profile", {"name": "Mine"}, 403)
    assert owner("PATCH", "shop-profile", {"name": "Mine"}).status_code == 428
    assert owner("POST", "shop-profile", {"name": "Mine"}).status_code == 405


@pytest.mark.parametrize(
    ("body", "status", "code"),
    [
        ({"is_tax_registered": True}, 409, "tax-number-missing"),
        ({"humidity_lowest_percent": "60"}, 409, "humidity-limits-disordered"),
        ({"humidity_lowest_percent": "101"}, 400, "invalid-input"),
        ({"quote_validity_days": 0}, 400, "invalid-input"),
        ({"kit_confidence": "0.4"}, 400, "invalid-input"),
        ({"kit_confidence": "1"}, 400, "invalid-input"),
        ({"cause_sure_percent": 50}, 400, "invalid-input"),
        ({"settle_days": 6}, 400, "invalid-input"),
        ({"aged_days": []}, 400, "invalid-input"),
        ({"aged_days": [60, 30]}, 409, "days-disordered"),
        ({"labour_cost_per_hour": "-1"}, 400, "invalid-input"),
        ({"id": 2}, 400, "invalid-input"),
    ],
)
def test_a_profile_that_makes_no_sense_is_refused(owner, body, status, code):
    before = owner.get("shop-profile")
    assert code_of(owner.change("shop-profile", body, status)) == code
    assert owner.get("shop-profile") == before


def test_an_account_is_written_with_or_without_blanks_and_its_check_digits_must_fit(owner):
    # The example of the IBAN registry (SWIFT), Germany.
    account = "DE89 3704 0044 0532 0130 00"
    assert owner.change("shop-profile", {"iban": account})["iban"] == account.replace(" ", "")
    wrong = owner.change("shop-profile", {"iban": account.replace("89", "98")}, 400)
    assert wrong["errors"][0]["code"] == "iban-wrong"
