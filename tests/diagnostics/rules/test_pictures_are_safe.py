"""Every picture of a keyboard is safe to open, and can be read by everyone."""

import pytest

from diagnostics.rules.comparison import compared
from diagnostics.rules.looks import Found, Look
from diagnostics.rules.pictures.comparison import comparison_svg
from diagnostics.rules.pictures.examination import examination_svg
from diagnostics.rules.pictures.history import history_svg
from tests.diagnostics.rules.drawn import FAULTS, FIRST, PIANO, SVG, read

PICTURES = {
    "examination": lambda look, faults, title: examination_svg(look, faults, title=title),
    "comparison": lambda look, faults, title: comparison_svg(
        compared(look, look), faults, title=title
    ),
    "history": lambda look, faults, title: history_svg(PIANO, [look], faults, title=title),
}
every_picture = pytest.mark.parametrize("draw", PICTURES.values(), ids=PICTURES)
HOSTILE = '</title><script>alert("1")</script> & \x1b\x00\x0b\ufffe'


@every_picture
def test_texts_are_escaped_and_nothing_is_run_or_fetched(draw):
    look = Look(PIANO, FIRST, (Found(60, "x", "slight", "c", HOSTILE), Found(None, "x")))
    svg = draw(look, {"x": ("X", HOSTILE)}, HOSTILE)
    root = read(svg)
    tags = {each.tag.removeprefix(SVG) for each in root.iter()}
    assert tags <= {
        *("svg", "title", "desc", "defs", "style", "pattern"),
        *("g", "rect", "path", "text"),
    }
    attributes = {name for each in root.iter() for name in each.attrib}
    assert not any(name.startswith("on") or "href" in name for name in attributes)
    references = [value for each in root.iter() for value in each.attrib.values() if "url" in value]
    assert all(value.startswith("url(#") for value in references)
    assert "http" not in svg.replace("http://www.w3.org/2000/svg", "")
    assert "<script" not in svg


@every_picture
def test_a_picture_says_what_it_shows_to_those_who_cannot_see_it(draw):
    found = (Found(60, "slow"), Found(61, "slow"), Found(64, "noise"))
    root = read(draw(Look(PIANO, FIRST, found), FAULTS, "Upright 12"))
    # Source: SVG Accessibility API Mappings, W3C: role, title first, then desc.
    assert root.get("role") == "img"
    assert [each.tag for each in root][:2] == [f"{SVG}title", f"{SVG}desc"]
    assert root.get("aria-labelledby") == " ".join(each.get("id") for each in list(root)[:2])
    assert root.findtext(f"{SVG}title") == "Upright 12, 88 keys A0 to C8"
    description = root.findtext(f"{SVG}desc")
    assert "C4" in description
    assert "notes (" in description


@every_picture
def test_every_pattern_that_is_used_is_defined(draw):
    look = Look(PIANO, FIRST, (Found(60, "slow"), Found(61, "dead")), frozenset({60, 61}))
    root = read(draw(look, FAULTS, "Upright"))
    used = {each.get("fill")[5:-1] for each in root.iter() if "url" in each.get("fill", "")}
    defined = [each.get("id") for each in root.iter(f"{SVG}pattern")]
    assert used <= set(defined)
    assert len(defined) == len(set(defined))


@every_picture
def test_a_picture_is_drawn_for_paper_and_for_the_dark(draw):
    svg = draw(Look(PIANO, FIRST), FAULTS, "Upright")
    style = read(svg).find(f"{SVG}defs/{SVG}style").text
    assert "@media screen and (prefers-color-scheme:dark)" in style


def test_what_cannot_be_drawn_truthfully_is_refused():
    with pytest.raises(ValueError, match="the fault 'lost'"):
        examination_svg(Look(PIANO, FIRST, (Found(60, "lost"),)), FAULTS, title="Upright")
    with pytest.raises(ValueError, match="MIDI note 20"):
        examination_svg(Look(PIANO, FIRST, (Found(20, "slow"),)), FAULTS, title="Upright")
