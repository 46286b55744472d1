"""The logo as documents show it."""

import base64
import json
import subprocess
import sys
from typing import Any

from shop.models import Logo, ShopProfile
from shop.pages import trial
from shop.pages.documents import ACCESSIBLE, ARCHIVAL, TEMPLATES
from shop.pages.wording import Wording
from shop.rules.logos import PNG, Picture

# Longer than so many times its height, a logo is set as wide as may be, else as high.
LONG = 4


def letterhead(profile: ShopProfile, words: Wording) -> dict[str, Any] | None:
    """Return what the layout of documents is told of the logo, None when there is none."""
    logo = Logo.objects.first()
    if logo is None:
        return None
    picture = Picture(logo.media_type, logo.width, logo.height)
    alternative = words.texts["sheet"]["logo"].format(name=profile.name)
    return _told(bytes(logo.content), picture, alternative)


def can_be_set(content: bytes, picture: Picture) -> bool:
    """Return whether a picture can stand on an archival and accessible document.

    A PNG is tried as itself too: inside of an SVG a broken one is left out without a word.
    """
    png = list(content) if picture.media_type == PNG else None
    data = {"logo": _told(content, picture, "Logo"), "png": png}
    template = str(TEMPLATES / "logo_trial.typ")
    done = subprocess.run(  # noqa: S603  (our own command line)
        [sys.executable, "-I", trial.__file__, template, ARCHIVAL, ACCESSIBLE],
        input=json.dumps(data).encode(),
        capture_output=True,
        check=False,
    )
    return done.returncode == 0


def _told(content: bytes, picture: Picture, alternative: str) -> dict[str, Any]:
    return {
        "drawing": _drawing(content, picture),
        "alternative": alternative,
        "is_long": picture.width > LONG * picture.height,
    }


def _drawing(content: bytes, picture: Picture) -> str:
    """Return a picture as SVG.

    Data go into a template as JSON, which has text: a PNG as a list of numbers would take longer to
    read than the document to set, so it goes in as what an SVG shows.
    """
    if picture.media_type != PNG:
        return content.decode()
    size = f'width="{picture.width}" height="{picture.height}"'
    address = f"data:{PNG};base64,{base64.b64encode(content).decode()}"
    return f'<svg xmlns="http://www.w3.org/2000/svg" {size}><image {size} href="{address}"/></svg>'
