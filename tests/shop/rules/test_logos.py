"""What can be a logo; the PNGs are put together here, chunk by chunk, as ISO/IEC 15948 has them."""

import struct
import zlib

import pytest

from shop.rules.logos import LogoError, Picture, picture_of


def chunk(kind, data):
    # Section 5.3: length, kind, data, checksum of kind and data.
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def png(width=4, height=3, pixels=None, colour_type=2):
    # Section 11.2.2: eight bits of each colour (by its type: red, green, blue), no interlacing.
    header = struct.pack(">IIBBBBB", width, height, 8, colour_type, 0, 0, 0)
    rows = (b"\0" + b"\x20\x40\x60" * width) * height if pixels is None else pixels
    parts = [(b"IHDR", header), (b"IDAT", zlib.compress(rows)), (b"IEND", b"")]
    return b"\x89PNG\r\n\x1a\n" + b"".join(chunk(*part) for part in parts)


def svg(inside="", attributes='viewBox="0 0 40 30"', before=""):
    return (
        f'{before}<svg xmlns="http://www.w3.org/2000/svg"'
        f' xmlns:xlink="http://www.w3.org/1999/xlink" {attributes}>{inside}</svg>'
    ).encode()


def code_of(content):
    with pytest.raises(LogoError) as caught:
        picture_of(content)
    return caught.value.code


@pytest.mark.parametrize(
    ("content", "found"),
    [
        (png(), Picture("image/png", 4, 3)),
        (svg('<path d="M0 0 L40 30"/>'), Picture("image/svg+xml", 40, 30)),
        (svg(attributes='width="21mm" height="12.4mm"'), Picture("image/svg+xml", 21, 12)),
        # What drawing programs leave in their files does nothing.
        (
            svg(
                '<metadata><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"/>'
                '</metadata><defs><linearGradient id="g"/></defs><use xlink:href="#g"/>'
                "<rect style=\"fill:url(#g)\"/><style>rect{fill:url('#g')}</style>",
                before='<?xml version="1.0" encoding="UTF-8"?>\n<!-- drawn -->\n',
            ),
            Picture("image/svg+xml", 40, 30),
        ),
    ],
)
def test_a_whole_png_and_a_still_svg_are_logos(content, found):
    assert picture_of(content) == found


@pytest.mark.parametrize(
    "inside",
    [
        "<script>alert(1)</script>",
        '<g onload="alert(1)"/>',
        '<image href="https://elsewhere.example/x.png"/>',
        '<image xlink:href="data:image/png;base64,AAAA"/>',
        '<use xlink:href="https://elsewhere.example/x.svg#a"/>',
        '<use href="file:///etc/passwd"/>',
        '<rect style="fill:url(https://elsewhere.example/x)"/>',
        "<rect fill=\"url( 'https://elsewhere.example/x' )\"/>",
        '<rect style="fill:u\\72l(https://elsewhere.example/x)"/>',
        "<style>@import 'https://elsewhere.example/x.css';</style>",
        "<style>rect{fill:url(//elsewhere.example/x)}</style>",
        # What a browser takes for the style is all the text in it, before a child too.
        "<style>rect{fill:url(//elsewhere.example/x)}<g/></style>",
        "<style>rect{fill:image-set('https://elsewhere.example/x' 1x)}</style>",
        '<g xml:base="https://elsewhere.example/"/>',
        '<foreignObject><p xmlns="http://www.w3.org/1999/xhtml"/></foreignObject>',
        '<h:meta xmlns:h="http://www.w3.org/1999/xhtml" http-equiv="refresh" content="0;x"/>',
        '<s:script xmlns:s="http://www.w3.org/2000/svg"/>',
        '<set attributeName="href" to="#b"/>',
        '<a href="#b"/>',
    ],
)
def test_an_svg_that_runs_moves_or_fetches_something_is_none(inside):
    assert code_of(svg(inside)) == "logo-unsafe"


@pytest.mark.parametrize(
    "before",
    [
        '<!DOCTYPE svg [<!ENTITY e SYSTEM "file:///etc/passwd">]>',
        # Each entity is the one before, ten times over.
        '<!DOCTYPE svg [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">]>',
        '<?xml-stylesheet href="https://elsewhere.example/x.css"?>',
    ],
)
def test_an_svg_that_declares_entities_or_wants_a_style_sheet_is_none(before):
    assert code_of(svg(before=before)) == "logo-unsafe"


def test_an_svg_that_reads_otherwise_in_the_encoding_that_it_names_is_none():
    # The last byte of the sign and the first bracket are one character in GBK (GB 18030-2022), so
    # that there the text ends later only, in the comment.
    inside = "<![CDATA[\u20ac]]><!-- ]]><script>alert(1)</script> -->"
    assert picture_of(svg(inside)).width == 40
    assert code_of(svg(inside, before='<?xml version="1.0" encoding="GBK"?>')) == "logo-unsafe"


@pytest.mark.parametrize(
    ("content", "code"),
    [
        (b"", "logo-unknown"),
        (b"GIF89a", "logo-unknown"),
        (b"<html/>", "logo-unknown"),
        (b'<svg viewBox="0 0 40 30"/>', "logo-unknown"),
        (svg()[:-2], "logo-broken"),
        (svg("&nbsp;"), "logo-broken"),
        (svg("<text>\xe4</text>").decode().encode("latin-1"), "logo-broken"),
        (svg(attributes=""), "logo-misshapen"),
        (svg(attributes='viewBox="0 0 400 1"'), "logo-misshapen"),
        (svg(attributes='width="100%" height="100%"'), "logo-misshapen"),
        (svg(attributes='viewBox="0 0 9999999 9999999"'), "logo-misshapen"),
        (png()[:-4], "logo-broken"),
        # Another way of interlacing, of which the checksum knows nothing.
        (png()[:28] + b"\x01" + png()[29:], "logo-broken"),
        (b"\x89PNG\r\n\x1a\n", "logo-broken"),
        (png(pixels=b""), "logo-broken"),
        (png(width=100, height=1), "logo-misshapen"),
        (png(width=0, height=0, pixels=b""), "logo-misshapen"),
        (png(width=60_000, height=60_000, pixels=b"\0" * 100_000), "logo-misshapen"),
        (png(pixels=b"\0" * 10_000_000), "logo-broken"),
        (png() + b"\0" * 200_000, "logo-too-large"),
    ],
)
def test_what_is_neither_or_not_whole_is_none(content, code):
    assert code_of(content) == code
