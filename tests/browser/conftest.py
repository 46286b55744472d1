"""One browser, one server and one database for all tests of a module."""

from contextlib import ExitStack
from dataclasses import dataclass, field

import pytest
from axe_playwright_python.sync_playwright import Axe

from billing.models import Quote
from tests.billing.conftest import Workshop, make_workshop
from tests.browser.chromium import MISSING, chromium, chromium_program
from tests.browser.server import serving
from tests.callers import Caller, caller_with
from tests.databases import use
from tests.factories.diagnostics import CautionFactory, ExaminationFactory
from tests.factories.shop import LogoFactory

PHONE, DESKTOP = {"width": 360, "height": 640}, {"width": 1280, "height": 800}


@dataclass
class Site:
    """The served shop: makes quotes, opens their pages, and notes what goes wrong in them."""

    address: str
    browser: object
    workshop: Workshop
    caller: Caller
    wrongs: list[str] = field(default_factory=list)

    def quote(self, *also, **terms) -> tuple[Quote, str]:
        """Return an offered quote of its own examination, and the address of its page.

        `also` are causes found beside the tight flanges, `terms` what is asked of the quote.
        """
        self.workshop.examination = ExaminationFactory(technician=self.caller.user)
        self.workshop.find([44, 60, 61, 62])
        for cause in also:
            self.workshop.find([70], cause=cause)
        path = f"/examinations/{self.workshop.examination.pk}/quote"
        quote = Quote.objects.get(pk=self.caller.post(path, terms).json()["id"])
        link = self.caller.post(f"/quotes/{quote.pk}/link").json()["address"]
        return quote, link.replace("http://testserver", self.address)

    def open(self, address, **options):
        """Open an address in a browser of its own; what the page complains about is noted."""
        context = self.browser.new_context(**{"viewport": DESKTOP} | options)
        context.set_default_timeout(10_000)
        page = context.new_page()
        page.on("console", self._said)
        page.on("pageerror", lambda error: self.wrongs.append(str(error)))
        page.on("request", self._asked_for)
        page.goto(address)
        return page

    def _said(self, message):
        # A page that answers with an error is one of the things tried; the browser says so.
        if message.type in {"error", "warning"} and "Failed to load resource" not in message.text:
            self.wrongs.append(message.text)

    def _asked_for(self, request):
        if not request.url.startswith(self.address):
            self.wrongs.append(f"asked for {request.url}")


def violations(page):
    """Return what axe-core finds wrong: the rule and the elements."""
    found = Axe().run(page).response["violations"]
    return [(rule["id"], [node["html"] for node in rule["nodes"]]) for rule in found]


@pytest.fixture(scope="module")
def _site(databases, django_db_setup, django_db_blocker):
    if chromium_program() is None:
        pytest.skip(MISSING)
    name = databases.committed
    with ExitStack() as stack, pytest.MonkeyPatch.context() as patch:
        stack.enter_context(django_db_blocker.unblock())
        # Playwright keeps an event loop in this thread, but no test's database work is part of it.
        patch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "true")
        databases.clone(name)
        use(name)
        stack.callback(databases.drop, name)
        stack.callback(use, databases.shared)
        workshop = make_workshop()
        CautionFactory(name="An upright tips", text="Two people move it.", topics=["general"])
        LogoFactory()
        caller = caller_with("technician")
        address = stack.enter_context(serving())
        browser = stack.enter_context(chromium())
        yield Site(address, browser, workshop, caller)


@pytest.fixture
def site(_site):
    """The served shop; at the test's end its pages have complained of nothing."""
    _site.wrongs.clear()
    yield _site
    for context in list(_site.browser.contexts):
        context.close()
    assert _site.wrongs == []
