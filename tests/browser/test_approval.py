import pytest

from billing.models import ClientDecision
from tests.browser.conftest import DESKTOP, PHONE, violations
from tests.factories.diagnostics import CauseFactory

LIGHT_AND_DARK = ["light", "dark"]


def decided(quote):
    quote.refresh_from_db()
    rows = ClientDecision.objects.filter(quote=quote).values_list("decision", "name", "reason")
    return quote.status, list(rows)


def approve(page, name="Hester Wick", **click):
    page.get_by_label("Your name").fill(name)
    page.get_by_role("button", name="Approve for").click(**click)


def test_a_client_reads_and_approves(site):
    quote, address = site.quote()
    page = site.open(address)
    assert page.locator("svg[role=img]").is_visible()
    assert page.get_by_role("table").is_visible()
    logo = page.get_by_alt_text("The piano repair shop")
    assert logo.evaluate("image => image.naturalWidth") > 0

    approve(page)

    assert page.get_by_role("status").inner_text().startswith("Approved by Hester Wick on ")
    assert page.url == address
    assert page.get_by_role("button").count() == 0
    page.reload()
    assert decided(quote) == ("approved", [("approved", "Hester Wick", "")])


def test_a_client_declines_and_says_why(site):
    quote, address = site.quote()
    page = site.open(address)
    page.get_by_text("Decline instead").click()
    page.get_by_label("What should we know?").fill("Too dear.\nPerhaps next year.")
    page.get_by_role("button", name="Decline this quote").click()
    assert "Declined on " in page.get_by_role("status").inner_text()
    assert decided(quote) == ("declined", [("declined", "", "Too dear.\nPerhaps next year.")])


def test_an_answer_without_a_name_is_asked_for_again(site):
    quote, address = site.quote()
    page = site.open(address)
    approve(page, name=" ")
    assert page.get_by_text("Please type your name").is_visible()
    assert page.evaluate("document.activeElement.id") == "name"
    assert violations(page) == []
    assert decided(quote) == ("offered", [])


def test_a_double_click_approves_once_and_shows_it(site):
    quote, address = site.quote()
    page = site.open(address)
    approve(page, click_count=2)
    page.get_by_role("status").wait_for()
    assert decided(quote) == ("approved", [("approved", "Hester Wick", "")])


def test_two_windows_do_not_answer_otherwise(site):
    quote, address = site.quote()
    first, second = site.open(address), site.open(address)
    approve(first)
    first.get_by_role("status").wait_for()
    approve(second, name="Agnes Wick")
    assert "already been answered otherwise" in second.get_by_role("alert").inner_text()
    assert "Approved by Hester Wick" in second.get_by_role("status").inner_text()
    assert decided(quote) == ("approved", [("approved", "Hester Wick", "")])


def test_a_link_that_went_stale_while_it_was_read_says_so(site):
    quote, address = site.quote()
    page = site.open(address)
    site.caller.post(f"/quotes/{quote.pk}/withdraw")
    approve(page)
    assert page.get_by_role("heading").inner_text() == "This quote was withdrawn"
    assert violations(page) == []
    assert decided(quote) == ("withdrawn", [])


def test_an_altered_link_says_so(site):
    _, address = site.quote()
    page = site.open(f"{address[:-1]}{'B' if address[-1] == 'A' else 'A'}")
    assert page.get_by_role("heading").inner_text().startswith("This link opens nothing")


@pytest.mark.parametrize("size", [PHONE, DESKTOP], ids=["phone", "desktop"])
@pytest.mark.parametrize("scheme", LIGHT_AND_DARK)
def test_nothing_bars_anybody_in_light_and_dark_on_phone_and_desktop(site, size, scheme):
    quote, address = site.quote()
    page = site.open(address, viewport=size, color_scheme=scheme)
    paper = page.evaluate("getComputedStyle(document.body).backgroundColor")
    # What is drawn follows the page: its own paper is as light or dark.
    drawn = page.evaluate("getComputedStyle(document.querySelector('.paper')).fill")
    for colour in (paper, drawn):
        red = int(colour.removeprefix("rgb(").split(",")[0])
        assert (red > 128) == (scheme == "light")
    assert page.evaluate("document.documentElement.scrollWidth") <= size["width"]
    for details in page.locator("details").all():
        details.evaluate("element => element.open = true")
    assert violations(page) == []

    approve(page)

    page.get_by_role("status").wait_for()
    assert violations(page) == []
    assert decided(quote)[0] == "approved"


def test_a_phone_without_scripts_does_too(site):
    quote, address = site.quote()
    page = site.open(
        address, viewport=PHONE, has_touch=True, is_mobile=True, java_script_enabled=False
    )
    # WCAG 2.2, 2.5.5 (level AAA): a target of at least 44 by 44 CSS pixels.
    box = page.get_by_role("button", name="Approve for").bounding_box()
    assert min(box["width"], box["height"]) >= 44
    page.get_by_label("Your name").fill("Hester Wick")
    page.get_by_role("button", name="Approve for").tap()
    assert "Approved by Hester Wick" in page.get_by_role("status").inner_text()
    assert decided(quote)[0] == "approved"


@pytest.mark.parametrize("scheme", LIGHT_AND_DARK)
def test_options_are_ticked_on_a_phone_without_scripts(site, scheme):
    dust, wear = (
        CauseFactory(remedy__name=name, remedy__set_up=site.workshop.repin.set_up)
        for name in ("Clean the action", "Renew the felt")
    )
    options = [
        {"remedies": [dust.remedy.code], "is_default": True},
        {"remedies": [wear.remedy.code]},
    ]
    quote, address = site.quote(dust, wear, options=options)
    assert violations(site.open(address, viewport=PHONE, color_scheme=scheme)) == []
    page = site.open(
        address, viewport=PHONE, has_touch=True, is_mobile=True, java_script_enabled=False
    )
    clean, felt = page.get_by_role("checkbox").all()
    assert (clean.is_checked(), felt.is_checked()) == (True, False)
    # WCAG 2.2, 2.5.5 (level AAA): a target of at least 44 by 44 CSS pixels.
    box = page.get_by_text("Renew the felt: +").bounding_box()
    assert min(box["width"], box["height"]) >= 44

    page.get_by_text("Clean the action: +").tap()
    page.get_by_text("Renew the felt: +").tap()
    page.get_by_label("Your name").fill("Hester Wick")
    page.get_by_role("button", name="and what is ticked").tap()

    assert "Approved by Hester Wick" in page.get_by_role("status").inner_text()
    taken = quote.options.filter(agreement__isnull=False)
    assert [option.title for option in taken] == ["Renew the felt"]


def press_until(page, is_there, key="Tab"):
    """Press a key until the focus is where it should be; each stop can be seen to have it."""
    for _ in range(20):
        page.keyboard.press(key)
        assert page.evaluate("getComputedStyle(document.activeElement).outlineStyle") == "solid"
        if page.evaluate(f"document.activeElement.matches('{is_there}')"):
            return
    pytest.fail(f"The focus never came to {is_there}.")


def test_a_keyboard_is_enough(site):
    quote, address = site.quote()
    page = site.open(address)
    press_until(page, "figure")
    press_until(page, "#name")
    page.keyboard.type("Hester Wick")
    page.keyboard.press("Enter")
    page.get_by_role("status").wait_for()
    assert decided(quote)[0] == "approved"

    quote, address = site.quote()
    page = site.open(address)
    press_until(page, ".answer summary")
    page.keyboard.press("Enter")
    press_until(page, "#reason")
    page.keyboard.type("No.")
    press_until(page, "button")
    page.keyboard.press("Space")
    page.get_by_role("status").wait_for()
    assert decided(quote) == ("declined", [("declined", "", "No.")])
