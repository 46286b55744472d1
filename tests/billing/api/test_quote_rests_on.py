from shop.models import Part, ShopProfile
from tests.billing.api.test_quotes import quoted, refused
from tests.factories.diagnostics import BenchWorkFactory


def test_a_quote_says_how_sure_its_kit_is(technician, workshop):
    workshop.find(range(60, 72))
    quote = quoted(technician, workshop)
    # The chance by scipy's beta-binomials, one size after the other.
    assert quote["diagnosis"]["pin_kit"] == {
        "centres": 12,
        "confidence": "0.95",
        "coverage": 0.9564,
        "fitted_before": 0,
        "not_stocked": [],
    }


def test_a_size_that_the_shop_does_not_keep_is_said(technician, workshop):
    workshop.find(range(60, 72))
    Part.objects.filter(pk=workshop.pins["21.5"].pk).update(is_active=False)

    quote = quoted(technician, workshop)

    assert [line["part"] for line in quote["bag_lines"]] == ["pin-20", "pin-20-5", "pin-21"]
    kit = quote["diagnosis"]["pin_kit"]
    assert kit["not_stocked"] == ["21.5"]
    # At most the chance that none of 12 flanges needs 21.5: scipy's betabinom(12, 3, 17).pmf(0).
    assert kit["coverage"] <= 0.2154


def test_a_shop_without_pins_cannot_make_a_kit(technician, workshop):
    workshop.find([60])
    Part.objects.update(is_active=False)
    path = f"/examinations/{workshop.examination.pk}/quote"
    refused(technician.post(path), 409, "no-pins-kept")


def test_the_shops_own_minutes_move_a_quote_only_where_it_wants_that(technician, workshop):
    workshop.find([60, 61])
    # 24 times 8 minutes beside the catalogue's 4, which weighs 8 times: 7 expected. By hand.
    BenchWorkFactory.create_batch(24, remedy=workshop.repin, minutes=8)

    by_catalogue = quoted(technician, workshop)
    ShopProfile.objects.update(quotes_by_bench_work=True)
    by_own_work = quoted(technician, workshop, revise=True)

    assert [quote["lines"][1]["minutes_likely"] for quote in (by_catalogue, by_own_work)] == [
        "8",
        "14",
    ]
    assert by_catalogue["diagnosis"]["minutes_moved"] == []
    assert by_own_work["diagnosis"]["minutes_moved"] == [
        {
            "remedy": "Repin the hammer flange",
            "minutes_likely": "7.0",
            "catalogue_minutes_likely": "4.0",
            "catalogue_weight": 8,
            "own_times": 24,
            "own_minutes_mean": "8.0",
        }
    ]
