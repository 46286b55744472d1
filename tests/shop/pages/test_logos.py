"""The logo over HTTP, and on paper, read back by a program that knows nothing of it."""

import base64
import json

import pytest

from shop.models import Logo, ShopProfile
from shop.pages.letterhead import letterhead
from shop.pages.wording import wording
from tests.callers import nobody, office, owner, technician
from tests.documents import assert_accessible, read
from tests.factories.purchasing import PurchaseOrderFactory
from tests.factories.shop import LOGO, LogoFactory
from tests.shop.rules.test_logos import png, svg

__all__ = ["nobody", "office", "owner", "technician"]

pytestmark = pytest.mark.django_db

PATH = "/shop-profile/logo"


def put(caller, content, **headers):
    body = json.dumps({"content": base64.b64encode(content).decode()})
    return caller("PUT", PATH, body, **headers)


def test_the_owner_puts_up_a_logo_replaces_it_and_takes_it_down(owner, technician):
    assert owner.get(PATH).status_code == 404
    made = put(owner, LOGO)
    assert made.status_code == 201, made.content
    seen = technician.get(PATH)
    assert base64.b64decode(seen.json()["content"]) == LOGO
    assert {name: seen.json()[name] for name in ("media_type", "width", "height")} == {
        "media_type": "image/svg+xml",
        "width": 40,
        "height": 30,
    }
    # Whoever replaces it has seen what is there (RFC 9110, 13.1.1).
    assert put(owner, png()).status_code == 428
    assert put(owner, png(), If_Match='"another"').status_code == 412
    replaced = put(owner, png(), If_Match=made["ETag"])
    assert replaced.status_code == 200
    assert replaced.json()["media_type"] == "image/png"
    assert bytes(Logo.objects.get().content) == png()
    assert owner("DELETE", PATH).status_code == 428
    assert owner("DELETE", PATH, If_Match=replaced["ETag"]).status_code == 204
    assert not Logo.objects.exists()


def test_a_logo_is_the_owners_to_change(office, technician, nobody):
    answers = [put(caller, LOGO).status_code for caller in (office, technician, nobody)]
    assert answers == [403, 403, 401]
    assert not Logo.objects.exists()


def multiplied(times):
    """An SVG of a few lines, drawing a corner ten to the power of `times` times."""
    corner, inside = '<path d="M0 0h1v1" fill="{}"/>', ""
    fill = "black"
    for number in range(times):
        inside += (
            f'<pattern id="p{number}" width="1" height="1">{corner.format(fill) * 10}</pattern>'
        )
        fill = f"url(#p{number})"
    return svg(inside + corner.format(fill))


@pytest.mark.parametrize(
    ("content", "code"),
    [
        (svg("<script/>"), "logo-unsafe"),
        (multiplied(8), "logo-broken"),
        (png()[:-4], "logo-broken"),
        # Whole, and of a colour type that there is not (ISO/IEC 15948, table 11.1).
        (png(colour_type=5), "logo-broken"),
        (b"GIF89a", "logo-unknown"),
        (b"\0" * 200_001, "logo-too-large"),
    ],
    ids=["unsafe", "greedy", "cut", "undrawable", "unknown", "large"],
)
def test_what_is_no_logo_is_refused_and_what_was_there_stays(owner, content, code):
    LogoFactory()
    answer = put(owner, content, If_Match="*")
    assert answer.status_code == 400
    assert [error["code"] for error in answer.json()["errors"]] == [code]
    assert answer.json()["errors"][0]["pointer"] == "/content"
    assert bytes(Logo.objects.get().content) == LOGO


@pytest.mark.parametrize("content", ["no base64!", "äöü", None, 5])
def test_content_that_is_no_base64_is_pointed_at(owner, content):
    answer = owner("PUT", PATH, json.dumps({"content": content}))
    assert answer.status_code == 400
    assert answer.json()["errors"][0]["pointer"] == "/content"


def alternatives(reader):
    """Return what stands for each picture of a document (ISO 32000-1, 14.9.3)."""
    objects = (reader.get_object(number) for number in range(1, len(reader.xref[0]) + 1))
    found = [each for each in objects if hasattr(each, "get") and each.get("/S") == "/Figure"]
    return [str(each["/Alt"]) for each in found]


@pytest.mark.parametrize(("width", "is_long"), [(30, False), (120, False), (121, True)])
def test_a_logo_of_more_than_four_times_its_height_is_set_by_its_width(width, is_long):
    LogoFactory(width=width, height=30)
    told = letterhead(ShopProfile.objects.get(), wording("en", ""))
    assert told["is_long"] is is_long


@pytest.mark.parametrize(
    ("content", "has_pixels"), [(LOGO, False), (png(), True)], ids=["svg", "png"]
)
def test_a_logo_stands_on_documents_and_is_told_to_whoever_does_not_see_it(
    owner, office, content, has_pixels
):
    ShopProfile.objects.update(name="Reedham Pianos")
    path = f"/purchase-orders/{PurchaseOrderFactory().pk}/document"
    plain = office.get(path)
    assert alternatives(read(plain)) == []
    assert put(owner, content).status_code == 201
    reader = read(office.get(path))
    assert_accessible(reader, language="en", title="Draft of a purchase order")
    assert alternatives(reader) == ["Logo of Reedham Pianos"]
    assert bool(reader.pages[0].images) is has_pixels
    assert office.get(path).content == office.get(path).content != plain.content
