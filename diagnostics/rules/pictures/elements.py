"""The elements of a picture, put together as a tree, so that every text in it is escaped.

Source: Scalable Vector Graphics (SVG) 2, W3C; "Accessible SVG", W3C (title, desc, role img).
"""

import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from xml.etree import ElementTree

from diagnostics.rules.keyboard_words import printable

Element = ElementTree.Element
Value = str | float

NAMESPACE = "http://www.w3.org/2000/svg"
# How wide a sign of a common sans-serif face is at the most, on the average of a line, in ems.
SIGN_EMS = 0.6


def element(tag: str, *children: Element, **attributes: Value) -> Element:
    """Return an element; of an attribute's name, `_` stands for `-`, and one at its end for none.

    Numbers are written with at most two decimals.
    """
    written = {
        name.rstrip("_").replace("_", "-"): value if isinstance(value, str) else number(value)
        for name, value in attributes.items()
    }
    made = Element(tag, written)
    made.extend(children)
    return made


def number(value: float) -> str:
    """Return a number as short as it can be with two decimals."""
    return f"{round(value, 2):.2f}".rstrip("0").rstrip(".")


def text(content: str, x: float, y: float, size: float, **attributes: Value) -> Element:
    """Return a line of text whose baseline begins at x, y."""
    made = element("text", x=x, y=y, font_size=size, **attributes)
    made.text = printable(content)
    return made


def title(content: str) -> Element:
    """Return the text that a viewer shows of the element it is put into."""
    made = element("title")
    made.text = printable(content)
    return made


def box(x: float, y: float, width: float, height: float, **attributes: Value) -> Element:
    """Return a rectangle."""
    return element("rect", x=x, y=y, width=width, height=height, **attributes)


def path(steps: str, **attributes: Value) -> Element:
    """Return a path of SVG's path commands."""
    return element("path", d=steps, **attributes)


def moved(x: float, y: float) -> str:
    """Return the transformation that moves an element to x, y."""
    return f"translate({number(x)} {number(y)})"


def wrapped(content: str, size: float, width: float) -> list[str]:
    """Return a text as lines that fit into `width` at a font size of `size`."""
    return textwrap.wrap(printable(content), max(10, int(width / (size * SIGN_EMS)))) or [""]


def picture(
    width: float, height: float, heading: str, description: Iterable[str], body: Sequence[Element]
) -> str:
    """Return a whole SVG document; `heading` and `description` are what a screen reader says."""
    described = element("desc", id="description")
    described.text = printable(" ".join(description))
    named = title(heading)
    named.set("id", "title")
    root = element(
        "svg",
        named,
        described,
        *body,
        xmlns=NAMESPACE,
        viewBox=f"0 0 {number(width)} {number(height)}",
        role="img",
        aria_labelledby="title description",
        font_family="sans-serif",
    )
    ElementTree.indent(root)
    return f"{ElementTree.tostring(root, encoding='unicode')}\n"


@dataclass(frozen=True)
class Block:
    """A part of a picture whose upper left corner is at 0, 0."""

    height: float
    elements: Sequence[Element]

    def at(self, x: float, y: float) -> Element:
        """Return the block moved to x, y."""
        return element("g", *self.elements, transform=moved(x, y))


def stacked(blocks: Iterable[Block], gap: float = 0) -> Block:
    """Return blocks one under another."""
    made: list[Element] = []
    y = 0.0
    for block in blocks:
        made.append(block.at(0, y))
        y += block.height + gap
    return Block(max(0.0, y - gap), made)
