"""Make the README's screenshots again: `python -m tests.browser.pictures`.

It plays the demonstration, looks at the quote's page as its client would before approving it, and
at the first page of the invoice. Needs Chromium, and pdftoppm (apt-get install poppler-utils).
"""

import os
import subprocess
import sys
from dataclasses import dataclass, fields
from io import BytesIO
from pathlib import Path

import django
from PIL import Image
from playwright.sync_api import Page

# Of the page, in pixels: what the keyboard needs to be seen whole.
WIDTH, GAP = 752, 40
INVOICE_DPI, COLOURS = 80, 48

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
django.setup()

from billing.management.commands.demo import SCENARIO, Command, make_afresh, served  # noqa: E402
from billing.management.demo.story import Story, Values  # noqa: E402
from tests.browser.chromium import chromium  # noqa: E402


@dataclass(frozen=True)
class PicturedStory(Story):
    """The demonstration's story, of whose quote with an option the client's page is kept."""

    page: Page

    def tell_quote(self, quote: Values) -> None:
        """Look at the quote as its client does, before the answer."""
        super().tell_quote(quote)
        if quote["options"]:
            link = self.technician.post(f"quotes/{quote['id']}/link")
            self.page.goto(link["address"])
            kept("approval", in_two(self.page))


def in_two(page: Page) -> Image.Image:
    """Return a long page as two columns side by side, the second from the prices on."""
    heading = page.get_by_role("heading", name="What it costs").bounding_box()
    whole = Image.open(BytesIO(page.screenshot(full_page=True))).convert("RGB")
    middle = int(heading["y"]) if heading else whole.height
    parts = [(0, middle), (middle, whole.height)]
    height = max(bottom - top for top, bottom in parts)
    sheet = Image.new("RGB", (2 * whole.width + GAP, height), whole.getpixel((0, 0)))
    for column, (top, bottom) in enumerate(parts):
        sheet.paste(whole.crop((0, top, WIDTH, bottom)), (column * (WIDTH + GAP), 0))
    return sheet


def kept(name: str, picture: Image.Image) -> None:
    """Write a picture in few colours."""
    path = Path(SCENARIO) / f"{name}.png"
    picture.convert("RGB").quantize(COLOURS).save(path, optimize=True)
    sys.stdout.write(f"{path}: {path.stat().st_size} bytes\n")


def first_page(pdf: bytes) -> Image.Image:
    """Return how the first page of a document looks."""
    command = ["pdftoppm", "-r", str(INVOICE_DPI), "-singlefile", "-png", "-"]
    png = subprocess.run(command, input=pdf, capture_output=True, check=True).stdout
    return Image.open(BytesIO(png))


def main() -> None:
    """Play the story and keep its pictures."""
    make_afresh()
    with served() as (address, token), chromium() as browser:
        story = Command()._story(address, token, [])
        parts = {each.name: getattr(story, each.name) for each in fields(Story)}
        page = browser.new_page(viewport={"width": WIDTH, "height": 800})
        invoice = PicturedStory(**parts, page=page).run()["invoice"]
        kept("invoice", first_page(story.office.http.get(f"invoices/{invoice['id']}/pdf").content))


if __name__ == "__main__":
    main()
