"""Printed documents, read back by a program that knows nothing of how they were made."""

import io
import re

from pypdf import PdfReader


def read(answer):
    assert answer.status_code == 200, answer.content
    assert answer["Content-Type"] == "application/pdf"
    return PdfReader(io.BytesIO(answer.content))


def text_of(reader):
    return "\n".join(page.extract_text() for page in reader.pages).replace("\xa0", " ")


def squeezed(text):
    return re.sub(r"\s+", " ", text.replace("\xa0", " "))


def metadata_of(reader):
    return reader.trailer["/Root"]["/Metadata"].get_data().decode()


def assert_accessible(reader, *, language, title):
    root = reader.trailer["/Root"]
    # ISO 14289-1 (PDF/UA-1), 7.1 and 7.2: tagged, with a title that is shown and a language.
    assert root["/MarkInfo"]["/Marked"]
    assert root["/StructTreeRoot"]
    assert root["/Lang"] == language
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert reader.metadata.title == title
    assert "pdfuaid:part>1<" in metadata_of(reader)
    fonts = {
        str(font["/BaseFont"]): font
        for page in reader.pages
        for font in (each.get_object() for each in page["/Resources"]["/Font"].values())
    }
    assert fonts
    for font in fonts.values():
        inner = font["/DescendantFonts"][0].get_object()["/FontDescriptor"].get_object()
        # ISO 32000-1, table 122: the program of a font that is embedded.
        assert {"/FontFile2", "/FontFile3"} & set(inner)
        assert "/ToUnicode" in font
