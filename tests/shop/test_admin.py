"""The office's pages of clients, stock and people."""

import pytest

from shop.models import (
    Client,
    Holding,
    Instrument,
    Level,
    Move,
    Part,
    Place,
    PlaceKind,
    Role,
    Site,
    User,
    VisitStatus,
)
from tests.factories.shop import (
    ClientFactory,
    InstrumentFactory,
    PartFactory,
    PlaceFactory,
    SiteFactory,
    UserFactory,
    VisitFactory,
)
from tests.factories.world import main_shelf, stock
from tests.office_pages import list_address, page_address, read, sent_back, sign_in, statements

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    "words", ["Reed", "0664 123", "bursar@", "Graz", "Mrs Bellows"], ids=str.lower
)
def test_a_client_is_found_by_name_phone_mail_city_or_contact(words):
    wanted = ClientFactory(
        name="Reed Street School",
        contact_name="Mrs Bellows",
        phone="0664 1234567",
        email="bursar@reed.example",
    )
    SiteFactory(client=wanted, city="Graz")
    SiteFactory(client=wanted, city="Graz")
    ClientFactory(name="Somebody else")
    page = read(sign_in(), list_address(Client), q=words)
    assert "1 client\n" in page
    assert "Reed Street School" in page


def test_a_clients_page_shows_its_sites_and_instruments():
    piano = InstrumentFactory(site__name="The hall", site__city="Graz", serial_number="QD1")
    InstrumentFactory(serial_number="QD2")
    page = read(sign_in(), page_address(piano.site.client))
    assert "The hall" in page
    assert "QD1" in page
    assert page_address(piano) in page
    assert "QD2" not in page


def test_lists_cost_the_same_for_one_row_and_five():
    browser = sign_in()
    makers = {
        Client: lambda: SiteFactory(city="Graz"),
        Site: SiteFactory,
        Instrument: InstrumentFactory,
        Part: lambda: stock(PartFactory(), 1, 1),
        Level: lambda: stock(PartFactory(), 1, 1),
        Holding: PartFactory,
        Move: lambda: stock(PartFactory(), 1, 1),
    }
    for model, make in makers.items():
        make()
        of_one = statements(browser, list_address(model))
        for _ in range(4):
            make()
        assert statements(browser, list_address(model)) == of_one, model


def test_a_client_is_added_and_changed_with_its_sites():
    browser = sign_in()
    sites = {"sites-TOTAL_FORMS": "1", "sites-INITIAL_FORMS": "0", "sites-0-name": "The hall"}
    values = {"kind": "person", "name": "A. Reed", "sites-0-travel_minutes": "20", **sites}
    answer = browser.post("/admin/shop/client/add/", values)
    client = Client.objects.get()
    assert answer.status_code == 302
    assert (client.name, client.sites.get().travel_minutes) == ("A. Reed", 20)
    address = page_address(client)
    browser.post(address, sent_back(browser, address, name="B. Reed"))
    assert Client.objects.get().name == "B. Reed"


def test_what_a_constraint_refuses_is_said_beside_the_form():
    browser = sign_in()
    site = SiteFactory()
    address = page_address(site)
    answer = browser.post(address, sent_back(browser, address, travel_minutes="1441"))
    assert answer.status_code == 200
    assert "Travel is at most 1440 minutes." in answer.content.decode()


def test_what_a_guard_refuses_is_said_beside_the_form_with_what_was_sent():
    browser = sign_in()
    van = PlaceFactory(name="The van")
    stock(PartFactory(), 1, 1, place=van)
    address = page_address(van)
    closed = sent_back(browser, address, name="The old van")
    del closed["is_active"]
    answer = browser.post(address, closed)
    page = answer.content.decode()
    assert answer.status_code == 200
    assert "Something is still at this place; move it before closing the place." in page
    assert 'value="The old van"' in page
    assert Place.objects.get(pk=van.pk).name == "The van"


def test_what_a_guard_does_not_refuse_is_stored():
    browser = sign_in()
    van = PlaceFactory(name="The van")
    address = page_address(van)
    closed = sent_back(browser, address)
    del closed["is_active"]
    assert browser.post(address, closed).status_code == 302
    assert not Place.objects.get(pk=van.pk).is_active


def test_a_visit_moves_along_its_statuses_alone():
    browser = sign_in()
    visit = VisitFactory(done=True)
    address = page_address(visit)
    answer = browser.post(address, sent_back(browser, address, status=VisitStatus.PLANNED))
    assert "The present status does not allow this change." in answer.content.decode()
    visit.refresh_from_db()
    assert visit.status == VisitStatus.DONE


def test_a_client_with_sites_is_kept_and_one_without_is_deleted():
    browser = sign_in()
    kept, gone = SiteFactory().client, ClientFactory()
    for client in (kept, gone):
        browser.post(page_address(client, "delete"), {"post": "yes"})
    assert list(Client.objects.all()) == [kept]


def test_shelves_and_vans_can_be_added_and_bags_cannot():
    browser = sign_in()
    for kind in (PlaceKind.VAN, PlaceKind.BAG):
        browser.post("/admin/shop/place/add/", {"kind": kind, "name": kind, "is_active": "on"})
    assert Place.objects.filter(kind=PlaceKind.VAN).exists()
    assert not Place.objects.filter(kind=PlaceKind.BAG).exists()


def test_places_are_closed_and_not_deleted():
    answer = sign_in().post(page_address(main_shelf(), "delete"), {"post": "yes"})
    assert answer.status_code == 403
    assert main_shelf().is_active


def test_a_parts_page_shows_where_it_is_and_its_list_how_much_there_is():
    part = PartFactory(name="Damper felt", price="2.5")
    stock(part, 7, 1)
    stock(part, 4, 1, place=PlaceFactory(name="The van"))
    stock(part, 2, 1, place=PlaceFactory(name="Job 7", bag=True))
    browser = sign_in()
    rows = read(browser, list_address(Part), q="Damper felt")
    assert '<span class="number">11</span>' in rows
    assert '<span class="number">2</span>' in rows
    assert '<span class="number">2.50</span>' in rows
    page = read(browser, page_address(part))
    assert "Main shelf" in page
    assert "The van" in page
    assert "Job 7" in page


def test_a_shipped_row_keeps_its_code_and_stays():
    shipped = PartFactory(code="shipped", shipped_digest="0" * 64)
    own = PartFactory(code="own")
    browser = sign_in()
    for part in (shipped, own):
        address = page_address(part)
        browser.post(address, sent_back(browser, address, code=f"{part.code}-2", name="New"))
    assert list(Part.objects.values_list("code", "name")) == [("own-2", "New"), ("shipped", "New")]
    assert browser.post(page_address(shipped, "delete"), {"post": "yes"}).status_code == 403
    assert browser.post(page_address(own, "delete"), {"post": "yes"}).status_code == 302
    assert list(Part.objects.values_list("code", flat=True)) == ["shipped"]


def test_only_staff_come_in():
    browser = sign_in(is_staff=False)
    assert browser.get(list_address(Client)).status_code == 302
    assert browser.get(list_address(Move)).status_code == 302


def test_a_signed_out_browser_is_asked_to_sign_in():
    browser = sign_in()
    browser.logout()
    answer = browser.get(list_address(Client))
    assert answer.status_code == 302
    assert answer.url.startswith("/admin/login/")


def test_only_the_owner_manages_people():
    tuner = UserFactory()
    assert sign_in().get(list_address(User)).status_code == 403
    owner = sign_in(office=False, owner=True)
    address = page_address(tuner)
    owner.post(address, sent_back(owner, address, role=Role.OFFICE))
    tuner.refresh_from_db()
    assert tuner.role == Role.OFFICE


def test_an_owner_cannot_take_over_a_superuser():
    boss = UserFactory(is_superuser=True, is_staff=True)
    owner = sign_in(office=False, owner=True)
    password = {"password1": "kapselfeder-71", "password2": "kapselfeder-71"}
    assert owner.post(f"/admin/shop/user/{boss.pk}/password/", password).status_code == 403
    assert owner.post(page_address(boss, "delete"), {"post": "yes"}).status_code == 403


def test_a_person_let_in_by_the_owner_can_sign_in_with_a_password():
    owner = sign_in(office=False, owner=True)
    values = {
        "username": "bell",
        "usable_password": "true",
        "password1": "kapselfeder-71",
        "password2": "kapselfeder-71",
        "role": Role.OFFICE,
        "is_staff": "on",
    }
    assert owner.post("/admin/shop/user/add/", values).status_code == 302
    owner.logout()
    assert owner.login(username="bell", password="kapselfeder-71")
    assert owner.get(list_address(Client)).status_code == 200
