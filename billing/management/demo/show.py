"""What the demonstration prints: tables for a terminal."""

from collections.abc import Iterable, Sequence
from typing import Any


def heading(text: str) -> str:
    """Return a heading with a line under it."""
    return f"\n{text}\n{'-' * len(text)}"


def table(rows: Iterable[Sequence[Any]], columns: Sequence[str]) -> str:
    """Return rows under column names; a name that ends in `>` sets its column to the right."""
    texts = [[str(cell) for cell in row] for row in rows]
    names = [name.removesuffix(">") for name in columns]
    widths = [
        max(len(name), *(len(row[index]) for row in texts)) if texts else len(name)
        for index, name in enumerate(names)
    ]
    lines = [names, ["-" * width for width in widths], *texts]
    return "\n".join(
        "  ".join(
            cell.rjust(width) if name.endswith(">") else cell.ljust(width)
            for cell, width, name in zip(line, widths, columns, strict=True)
        ).rstrip()
        for line in lines
    )


def document_lines(document: dict[str, Any]) -> str:
    """Return a quote's or invoice's lines, taxes and totals as a table."""
    rows = [
        (
            line["description"],
            line["quantity"],
            line["unit"],
            line["unit_price"],
            line["net_amount"],
        )
        for line in document["lines"]
    ]
    rows.append(("Total before tax", "", "", "", document["net_total"]))
    rows += [
        (f"Tax {tax['tax_percent']} %", "", "", "", tax["tax_amount"]) for tax in document["taxes"]
    ]
    rows.append((f"Total {document['currency']}", "", "", "", document["gross_total"]))
    return table(rows, ["what", "quantity>", "unit", "price>", "amount>"])
