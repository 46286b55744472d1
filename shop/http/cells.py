"""Cells of CSV: what is put before a text that a spreadsheet would run, and how it is taken off."""

import json
import re
from typing import Any

# A cell that starts so is taken for a formula by spreadsheets, unless it is a plain number.
# Source: OWASP, "CSV Injection". Apostrophes before it count too, so that what `cell` puts there
# can be told from what was there.
FORMULA = re.compile(r"^'*[=+\-@\t\r](?!\d+(\.\d+)?$)")


def cell(value: Any) -> str:
    """Return `value` as the text of a CSV cell that no spreadsheet takes for a formula."""
    text = cell_text(value)
    return f"'{text}" if FORMULA.match(text) else text


def cell_text(value: Any) -> str:
    """Return what a cell says of `value`."""
    if value is None:
        return ""
    if isinstance(value, bool | dict | list):
        return json.dumps(value, ensure_ascii=False)
    return str(value)


def cell_read(written: str) -> str:
    """Return the text that `cell` wrote so: without the apostrophe that it put, if it put one."""
    return written[1:] if written.startswith("'") and FORMULA.match(written[1:]) else written
