import pytest

from shop.models import Client, Site, Supplier
from tests.shop.http.answers import problem


@pytest.fixture
def suppliers(db):
    return [Supplier.objects.create(name=f"Felt {n}", lead_time_days=n) for n in range(3)]


def refusals(response):
    errors = problem(response, 400, "invalid-query")["errors"]
    return {each["parameter"]: each["code"] for each in errors}


def test_a_filter_keeps_the_rows_that_fit(owner, suppliers):
    items = owner("GET", "/suppliers?name=felt&lead_time_days=1").json()["items"]

    assert [row["name"] for row in items] == ["Felt 1"]


def test_every_unknown_parameter_is_named_with_the_known_ones(owner, suppliers):
    response = owner("GET", "/suppliers?name=x&colour=red&page=2")

    assert refusals(response) == {"colour": "unknown-parameter", "page": "unknown-parameter"}
    sentence = response.json()["errors"][0]["detail"]
    assert "limit, cursor, name, lead_time_days, order" in sentence


@pytest.mark.parametrize(
    ("query", "parameter", "code"),
    [
        ("lead_time_days=soon", "lead_time_days", "invalid"),
        ("lead_time_days=NaN", "lead_time_days", "invalid"),
        ("name=a%00b", "name", "null-characters-not-allowed"),
        ("order=colour", "order", "invalid-choice"),
        ("order=name,colour", "order", "invalid-choice"),
        ("name=a&name=b", "name", "given-twice"),
        ("limit=1&limit=2", "limit", "given-twice"),
    ],
)
def test_a_value_that_a_parameter_cannot_have_is_refused(owner, suppliers, query, parameter, code):
    assert refusals(owner("GET", f"/suppliers?{query}")) == {parameter: code}


def test_a_number_beyond_the_column_fits_no_row(owner, suppliers):
    assert owner("GET", f"/suppliers?lead_time_days={10**30}").json() == {"items": []}


def test_a_filter_by_id_costs_no_query_and_takes_only_ids(owner, django_assert_num_queries):
    client = Client.objects.create(kind="person", name="Ada")
    site = Site.objects.create(client=client, name="Home")
    path = f"/clients/{client.pk}/sites?client="

    with django_assert_num_queries(2):  # the person and the rows
        assert [row["id"] for row in owner("GET", f"{path}{client.pk}").json()["items"]] == [
            site.pk
        ]
    for wrong, code in (("0", "min-value"), (str(2**63), "max-value"), ("1.5", "invalid")):
        assert refusals(owner("GET", f"{path}{wrong}")) == {"client": code}


def test_a_choice_of_several_may_stand_more_than_once(owner):
    client = Client.objects.create(kind="person", name="Ada")
    for country in ("AT", "DE", "IT"):
        Site.objects.create(client=client, name=country, country=country)

    response = owner("GET", f"/clients/{client.pk}/sites?country=AT&country=DE")

    assert [row["name"] for row in response.json()["items"]] == ["AT", "DE"]


def test_a_range_has_two_parameters(owner):
    today = owner.user.date_joined.date().isoformat()

    assert len(owner("GET", f"/users?joined_after={today}").json()["items"]) == 1
    assert owner("GET", "/users?joined_before=2020-01-01").json() == {"items": []}
    assert refusals(owner("GET", "/users?joined=2020-01-01")) == {"joined": "unknown-parameter"}


@pytest.mark.parametrize(
    ("method", "path"),
    [
        ("GET", "/suppliers/{id}?x=1"),
        ("POST", "/suppliers?x=1"),
        ("POST", "/suppliers/{id}/wait?x=1"),
    ],
)
def test_what_is_no_list_takes_no_parameters(owner, suppliers, method, path):
    response = owner(method, path.format(id=suppliers[0].pk), '{"name": "New"}')

    assert refusals(response) == {"x": "unknown-parameter"}
    assert not Supplier.objects.filter(name="New").exists()


def test_a_report_checks_its_parameters(owner):
    assert owner("GET", "/clients/echo?least=3").json() == {"least": 3}
    assert owner("GET", "/clients/echo").json() == {}
    assert refusals(owner("GET", "/clients/echo?least=-1")) == {"least": "min-value"}
    assert refusals(owner("GET", "/clients/echo?most=1")) == {"most": "unknown-parameter"}
