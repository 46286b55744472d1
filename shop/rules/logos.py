"""What can be a shop's logo: a whole PNG, or an SVG that shows shapes of its own and nothing else.

Source: PNG (ISO/IEC 15948), sections 5 and 11.2; SVG 1.1, sections 5 and 7.
"""

import re
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from xml.parsers import expat

PNG, SVG = "image/png", "image/svg+xml"
MOST_BYTES = 200_000
# Far more than any printer shows of a logo, and little enough to be unpacked in memory.
MOST_PIXELS = 4_000_000
# Of the longer side to the shorter: what is longer is a line.
MOST_ELONGATED = 20
LONGEST_SIDE = 1_000_000
PNG_SIGNATURE = b"\x89PNG\r\n\x1a\n"
LONGEST_CHUNK = 2**31 - 1

SVG_NAMESPACE = "http://www.w3.org/2000/svg"
XHTML_NAMESPACE = "http://www.w3.org/1999/xhtml"
SEPARATOR = " "
# What runs, moves or brings in something that is not of the file.
FORBIDDEN = frozenset(
    {
        *("a", "animate", "animatemotion", "animatetransform", "audio", "discard", "embed"),
        *("feimage", "foreignobject", "handler", "iframe", "image", "link", "listener", "object"),
        *("script", "set", "video"),
    }
)
LENGTH = re.compile(r"\s*\+?(\d+(?:\.\d*)?|\.\d+)\s*(px|pt|pc|mm|cm|in)?\s*")
# Of CSS: what fetches. An escape could spell it otherwise.
FETCHES = re.compile(
    r"url\((?!\s*['\"]?\s*#)|image-set\(|src\(|@import|\\|javascript:", re.IGNORECASE
)


class LogoError(ValueError):
    """Content that is no logo; `code` is stable, the message a sentence."""

    def __init__(self, code: str, message: str) -> None:
        super().__init__(message)
        self.code = code


@dataclass(frozen=True)
class Picture:
    """A picture's media type, and its size: pixels of a PNG, of an SVG the units it is drawn in."""

    media_type: str
    width: int
    height: int


def picture_of(content: bytes) -> Picture:
    """Return what `content` shows, found by looking at it.

    Raises:
        LogoError: `logo-too-large`, `logo-unknown` (neither PNG nor SVG), `logo-broken`,
            `logo-unsafe` (an SVG that runs or fetches something, or declares entities) or
            `logo-misshapen` (no size, too many pixels, or a line).
    """
    if len(content) > MOST_BYTES:
        raise LogoError("logo-too-large", f"A logo has at most {MOST_BYTES} bytes.")
    if content.startswith(PNG_SIGNATURE):
        picture = _png(content)
    elif content.lstrip().startswith(b"<"):
        picture = _svg(content)
    else:
        raise LogoError("logo-unknown", "A logo is a PNG or an SVG.")
    short, long = sorted((picture.width, picture.height))
    if short < 1 or long > min(MOST_ELONGATED * short, LONGEST_SIDE):
        raise LogoError(
            "logo-misshapen",
            f"A logo says how large it is: at most {LONGEST_SIDE} either way, and at most"
            f" {MOST_ELONGATED} times as long as it is high, or the other way.",
        )
    return picture


def _png(content: bytes) -> Picture:
    chunks = list(_chunks(content))
    kinds = [kind for kind, _ in chunks]
    if kinds[:1] != [b"IHDR"] or kinds[-1:] != [b"IEND"] or len(chunks[0][1]) != 13:
        raise LogoError("logo-broken", "The PNG does not begin with its header and end with IEND.")
    header = chunks[0][1]
    width, height = (int.from_bytes(header[at : at + 4], "big") for at in (0, 4))
    if not 0 < width * height <= MOST_PIXELS:
        raise LogoError("logo-misshapen", f"A logo has 1 to {MOST_PIXELS} pixels.")
    data = b"".join(part for kind, part in chunks if kind == b"IDAT")
    # A row is at most eight bytes a pixel and its filter's; rows of an interlaced one are more.
    most = height * (8 * width + 1) * 2
    try:
        unpacker = zlib.decompressobj()
        unpacked = unpacker.decompress(data, most)
    except zlib.error as error:
        raise LogoError("logo-broken", "The PNG's pixels cannot be unpacked.") from error
    if not unpacked or not unpacker.eof:
        raise LogoError("logo-broken", "The PNG has fewer or more pixels than its header says.")
    return Picture(PNG, width, height)


def _chunks(content: bytes) -> Iterator[tuple[bytes, bytes]]:
    """Yield the kind and data of each chunk: length, kind, data, checksum (section 5.3)."""
    at = len(PNG_SIGNATURE)
    while at < len(content):
        length = int.from_bytes(content[at : at + 4], "big")
        kind, data = content[at + 4 : at + 8], content[at + 8 : at + 8 + length]
        checksum = content[at + 8 + length : at + 12 + length]
        if length > LONGEST_CHUNK or len(checksum) < 4:
            raise LogoError("logo-broken", "The PNG ends early.")
        if zlib.crc32(kind + data) != int.from_bytes(checksum, "big"):
            raise LogoError("logo-broken", "The PNG was damaged: a checksum is wrong.")
        yield kind, data
        at += 12 + length


def _svg(content: bytes) -> Picture:
    reader = _SVGReader()
    # As UTF-8 it is handed on.
    parser = expat.ParserCreate("utf-8", SEPARATOR)
    parser.XmlDeclHandler = reader.refuse_encodings
    parser.StartDoctypeDeclHandler = reader.refuse_declarations
    parser.ProcessingInstructionHandler = reader.refuse_instructions
    parser.StartElementHandler = reader.element
    parser.CharacterDataHandler = reader.text
    parser.EndElementHandler = reader.end
    try:
        parser.Parse(content, True)  # noqa: FBT003 (expat's own signature)
    except expat.ExpatError as error:
        detail = f"The SVG is no XML: {expat.ErrorString(error.code)} in line {error.lineno}."
        raise LogoError("logo-broken", detail) from error
    width, height = reader.size
    return Picture(SVG, width, height)


class _SVGReader:
    """Looks at each part of an SVG, and refuses what a logo has no need of."""

    def __init__(self) -> None:
        self.size = (0, 0)
        self._depth = 0
        self._is_in_style = False
        self._texts: list[str] = []

    def refuse_encodings(self, _: str, encoding: str | None, __: int) -> None:
        # In another encoding it may say something else than what is looked at here.
        if encoding and encoding.lower() != "utf-8":
            raise LogoError("logo-unsafe", f"Save the SVG as UTF-8, not as {encoding[:40]}.")

    def refuse_declarations(self, *_: object) -> None:
        raise LogoError("logo-unsafe", "Save the SVG without a DOCTYPE: it may declare entities.")

    def refuse_instructions(self, target: str, _: str) -> None:
        raise LogoError("logo-unsafe", f"Save the SVG without the instruction {target[:40]}.")

    def element(self, name: str, attributes: dict[str, str]) -> None:
        namespace, _, local = name.rpartition(SEPARATOR)
        if self._depth == 0:
            if (namespace, local) != (SVG_NAMESPACE, "svg"):
                raise LogoError("logo-unknown", "The XML is no SVG: its root is another element.")
            self.size = _size(attributes)
        if self._is_in_style or namespace == XHTML_NAMESPACE or local.lower() in FORBIDDEN:
            raise LogoError("logo-unsafe", f"A logo has no element {local[:40]}.")
        for attribute, value in attributes.items():
            _refuse_unsafe(attribute.rpartition(SEPARATOR)[2].lower(), value)
        self._depth += 1
        self._is_in_style = local.lower() == "style"
        self._texts = []

    def text(self, text: str) -> None:
        self._texts.append(text)

    def end(self, _: str) -> None:
        self._depth -= 1
        if self._is_in_style and FETCHES.search("".join(self._texts)):
            raise LogoError("logo-unsafe", "The SVG's style fetches something, or may do so.")
        self._is_in_style = False


def _refuse_unsafe(name: str, value: str) -> None:
    if name.startswith("on"):
        raise LogoError("logo-unsafe", f"A logo runs nothing, as its attribute {name[:40]} would.")
    fetches = name in {"href", "src", "base"} and not value.strip().startswith("#")
    if fetches or FETCHES.search(value):
        raise LogoError(
            "logo-unsafe", f"A logo refers to nothing outside of it, as its {name[:40]} does."
        )


def _size(attributes: dict[str, str]) -> tuple[int, int]:
    """Return the size of the box that is drawn in, else of the picture, in whole units."""
    box = attributes.get("viewBox", "").replace(",", " ").split()
    sides = box[2:] if len(box) == 4 else [attributes.get(name, "") for name in ("width", "height")]
    matches = [LENGTH.fullmatch(side) for side in sides]
    lengths = [round(Decimal(match[1])) if match else 0 for match in matches]
    return lengths[0], lengths[1]
