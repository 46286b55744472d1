"""Pictures of keyboards read back with an XML parser, and invented findings to draw."""

from datetime import date
from xml.etree import ElementTree

from hypothesis import strategies as st

from diagnostics.rules.keyboard import COMPASSES, Compass
from diagnostics.rules.looks import SEVERITIES, Found, Look

SVG = "{http://www.w3.org/2000/svg}"
FAULTS = {
    "slow": ("S", "Slow return"),
    "noise": ("K", "Noise"),
    "pedal": ("P", "Pedal sticks"),
    "dead": ("N", "No sound"),
}
PIANO = Compass()
FIRST, SECOND = date(2026, 3, 2), date(2026, 3, 16)

ends = st.lists(st.integers(0, 127), min_size=2, max_size=2, unique=True).map(sorted)
compasses = st.sampled_from(list(COMPASSES.values())) | ends.map(lambda pair: Compass(*pair))


@st.composite
def looks(draw, compass, examined_on=FIRST):
    notes = st.none() | st.sampled_from(compass.notes)
    found = st.builds(Found, notes, st.sampled_from(list(FAULTS)), st.sampled_from(SEVERITIES))
    examined = draw(st.frozensets(st.sampled_from(compass.notes), max_size=10))
    return Look(compass, examined_on, tuple(draw(st.lists(found, max_size=20))), examined)


def read(svg):
    root = ElementTree.fromstring(svg)
    assert root.tag == f"{SVG}svg"
    return root


def of_class(root, name):
    return [each for each in root.iter() if each.get("class") == name]


def bars(root):
    """Return note, sign and severity of each bar, as they stand in the picture."""
    return [
        (bar.get("data-note"), bar.get("data-sign"), bar.get("data-severity"))
        for bar in of_class(root, "bar")
        if bar.get("data-sign") != "severity"
    ]


def texts(root):
    return [each.text for each in root.iter(f"{SVG}text")]


def place(note):
    return "instrument" if note is None else str(note)


def absolute(root):
    """Yield each rectangle with its class's element and its corners in the picture."""

    def walk(element, x, y, marked):
        if element.get("transform"):
            dx, dy = map(float, element.get("transform")[10:-1].split())
            x, y = x + dx, y + dy
        marked = element if element.get("class") in {"bar", "key", "faulty"} else marked
        if element.tag == f"{SVG}rect" and marked is not None:
            left, top = x + float(element.get("x")), y + float(element.get("y"))
            right = left + float(element.get("width"))
            yield marked, (left, top, right, top + float(element.get("height")))
        for child in element:
            yield from walk(child, x, y, marked)

    for child in root:
        if child.tag == f"{SVG}g":
            yield from walk(child, 0, 0, None)


def first_rectangles(root, name):
    """Return the first rectangle of each element of a class."""
    found = {}
    for element, corners in absolute(root):
        if element.get("class") == name:
            found.setdefault(id(element), (element, corners))
    return list(found.values())
