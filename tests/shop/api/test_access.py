"""Who may do what with each noun, and that lists cost the same for one row and for five."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests.factories.shop import (
    ClientFactory,
    InstrumentFactory,
    MoveFactory,
    PartFactory,
    PlaceFactory,
    SiteFactory,
    SupplierFactory,
    TaxCategoryFactory,
    TaxRateFactory,
    UserFactory,
    VisitFactory,
)
from tests.shop.api.conftest import code_of

NOUNS = {
    "clients": ClientFactory,
    "sites": SiteFactory,
    "instruments": InstrumentFactory,
    "visits": VisitFactory,
    "suppliers": SupplierFactory,
    "parts": PartFactory,
    "places": PlaceFactory,
    "tax-categories": TaxCategoryFactory,
    "tax-rates": TaxRateFactory,
    "users": UserFactory,
    "levels": MoveFactory,
    "moves": MoveFactory,
}
WRITTEN_BY_THE_OFFICE = ["clients", "sites", "suppliers", "parts", "places"]
WRITTEN_BY_THE_OWNER = ["tax-categories", "tax-rates", "users"]


@pytest.mark.parametrize("noun", NOUNS)
def test_nobody_reads_without_a_token(nobody, noun):
    assert code_of(nobody.get(noun, 401)) == "not-authenticated"


@pytest.mark.parametrize("noun", [noun for noun in NOUNS if noun != "users"])
def test_every_role_reads_what_the_shop_works_with(technician, office, owner, noun):
    NOUNS[noun]()
    for caller in (technician, office, owner):
        assert caller.get(noun)["items"]


@pytest.mark.parametrize("noun", WRITTEN_BY_THE_OFFICE)
def test_technicians_add_and_change_none_of_the_offices_rows(technician, office, owner, noun):
    row = NOUNS[noun]()
    path = f"{noun}/{row.code if noun == 'parts' else row.pk}"
    assert code_of(technician.post(noun, {}, 403)) == "forbidden"
    assert technician("PATCH", path, {}).status_code == 403
    assert technician("DELETE", path).status_code == 403
    for caller in (office, owner):
        caller.post(noun, {}, 400)


@pytest.mark.parametrize("noun", WRITTEN_BY_THE_OWNER)
def test_the_office_adds_none_of_the_owners_rows(technician, office, owner, noun):
    for caller in (technician, office):
        assert code_of(caller.post(noun, {}, 403)) == "forbidden"
    owner.post(noun, {}, 400)


@pytest.mark.parametrize("noun", NOUNS)
def test_a_list_of_five_rows_takes_as_many_statements_as_a_list_of_one(owner, noun):
    def statements():
        with CaptureQueriesContext(
            connection,
        ) as captured:
            owner.get(noun)
        return len(captured)

    NOUNS[noun]()
    of_one = statements()
    for _ in range(4):
        NOUNS[noun]()
    # One for the token and its user, one for the rows.
    assert statements() == of_one == 2
