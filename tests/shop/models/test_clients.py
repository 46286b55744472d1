import pytest

from tests.factories.shop import ClientFactory, InstrumentFactory, SiteFactory, UserFactory
from tests.refusals import accepted, refused

pytestmark = pytest.mark.django_db


def test_a_person_of_the_shop_has_a_role_that_it_knows():
    with refused("shop_user_role_known"):
        UserFactory(role="apprentice")
    with accepted():
        UserFactory(role="owner")


@pytest.mark.parametrize(
    ("rule", "wrong", "right"),
    [
        ("shop_client_kind_known", {"kind": "company"}, {"kind": "organisation"}),
        ("shop_client_kind_known", {"kind": ""}, {"kind": "person"}),
        ("shop_client_has_name", {"name": ""}, {"name": "Ó"}),
        # ISO 3166-1 alpha-2: two capital letters.
        ("shop_client_country_code", {"country": "pt"}, {"country": "PT"}),
        ("shop_client_language_known", {"language": "xx"}, {"language": "de"}),
    ],
)
def test_a_client_has_a_kind_and_a_name(rule, wrong, right):
    with refused(rule):
        ClientFactory(**wrong)
    with accepted():
        ClientFactory(**right)


@pytest.mark.parametrize(
    ("rule", "wrong", "right"),
    [
        ("shop_site_has_name", {"name": ""}, {"name": "home"}),
        # ISO 3166-1 alpha-2: two capital letters.
        ("shop_site_country_code", {"country": "pt"}, {"country": "PT"}),
        ("shop_site_country_code", {"country": "P"}, {"country": ""}),
        ("shop_site_country_code", {"country": "É1"}, {"country": "EE"}),
        # A day has 1440 minutes.
        (
            "shop_site_travel_within_a_day",
            {"travel_minutes": 1441},
            {"travel_minutes": 1440},
        ),
    ],
)
def test_a_site_has_a_name_and_can_be_reached(rule, wrong, right):
    with refused(rule):
        SiteFactory(**wrong)
    with accepted():
        SiteFactory(**right)


@pytest.mark.parametrize(
    ("rule", "wrong", "right"),
    [
        ("shop_instrument_action_known", {"action": "square"}, {"action": "spinet"}),
        (
            "shop_instrument_compass",
            {"lowest_midi": 60, "highest_midi": 60},
            {"lowest_midi": 60, "highest_midi": 61},
        ),
        # MIDI numbers end at 127. Source: MIDI 1.0 Detailed Specification, note numbers.
        (
            "shop_instrument_compass",
            {"lowest_midi": 0, "highest_midi": 128},
            {"lowest_midi": 0, "highest_midi": 127},
        ),
        ("shop_instrument_breaks_midi", {"breaks_midi": [128]}, {"breaks_midi": [0, 127]}),
        ("shop_instrument_breaks_midi", {"breaks_midi": [50] * 6}, {"breaks_midi": [53, 76]}),
        ("shop_instrument_built_year", {"built_year": 1699}, {"built_year": 1700}),
        ("shop_instrument_built_year", {"built_year": 2101}, {"built_year": 2100}),
        ("shop_instrument_built_year", {"built_year": 0}, {"built_year": None}),
    ],
)
def test_an_instrument_has_an_action_a_compass_and_a_year_that_can_be(rule, wrong, right):
    with refused(rule):
        InstrumentFactory(**wrong)
    with accepted():
        InstrumentFactory(**right)
