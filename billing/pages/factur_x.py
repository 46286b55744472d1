"""Factur-X: an invoice for people that carries the invoice for programs.

Source: Factur-X 1.0, section 6: PDF/A-3, the file `factur-x.xml` attached, and metadata that say
so, declared as ISO 19005-3, 6.6.2.3 wants it of properties that it does not know.

The file is an Alternative (ISO 32000-2, table 43): it holds the whole invoice. Data is for
the profiles whose XML is part of one (MINIMUM, BASIC WL), Source for pages that were made of the
XML; here both are made of the same rows. Source: ZUGFeRD 2.1 and Factur-X 1.0.05, technical
supplement A, 2.2.2 (as quoted in public; the text itself was not seen).
"""

import io
from importlib.resources import files

import pikepdf

from shop.models import ShopProfile
from shop.pages.papers import Paper, paper_carrying
from shop.pages.wording import Wording

FILE_NAME = "factur-x.xml"
METADATA = files(__package__) / "xmp"
# Where typst's metadata list the properties that they declare, and where the properties end.
DECLARED, SAID = b"</rdf:Bag></pdfaExtension:schemas>", b"</rdf:Description></rdf:RDF>"


def factur_x(paper: Paper, words: Wording, profile: ShopProfile, xml: bytes) -> bytes | None:
    """Return an invoice as PDF that carries its own EN 16931 XML.

    None when its text is in a script that the fonts lack, since PDF/A-3 forbids gaps.
    """
    pdf = paper_carrying(paper, words, profile, FILE_NAME, xml)
    return pdf and _said_to_be_factur_x(pdf)


def _said_to_be_factur_x(pdf: bytes) -> bytes:
    made = io.BytesIO()
    with pikepdf.open(io.BytesIO(pdf)) as document:
        metadata = document.Root.Metadata.read_bytes()
        for place, name in ((DECLARED, "declared.xml"), (SAID, "said.xml")):
            metadata = metadata.replace(place, (METADATA / name).read_bytes() + place)
        document.Root.Metadata = pikepdf.Stream(
            document, metadata, Type=pikepdf.Name.Metadata, Subtype=pikepdf.Name.XML
        )
        # Streams stay as they are: metadata must be readable without unpacking.
        document.save(made, deterministic_id=True, compress_streams=False)
    return made.getvalue()
