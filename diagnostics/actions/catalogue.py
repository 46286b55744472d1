"""The tables of the catalogue that tell what is wrong with a piano and how it is put right."""

from diagnostics.models import (
    Cause,
    Caution,
    Check,
    Component,
    Fault,
    MeasuredRange,
    PinShare,
    Remedy,
    SetUp,
    Tool,
)
from shop.actions.catalogue_files import Columns, Table


def _caution(written: Columns) -> Columns:
    columns = dict(written)
    if "title" in columns:
        columns["name"] = columns.pop("title")
    return columns


def _remedy(written: Columns) -> Columns:
    columns = dict(written)
    if columns.get("kit") == "centre_pin":
        del columns["kit"]
        columns["takes_pin_kit"] = True
    return columns


def _cause(written: Columns) -> Columns:
    """Return the columns with the shares, which are written as a table a family, each by itself."""
    columns = dict(written)
    for family in ("spread", "room", "age"):
        if isinstance(columns.get(family), dict):
            shares = columns.pop(family)
            columns |= {f"{family}_{of}": share for of, share in shares.items()}
    return columns


DIAGNOSTICS_TABLES = (
    Table(Component, "components.toml", "component"),
    Table(Fault, "faults.toml", "fault"),
    Table(Tool, "tools.toml", "tool"),
    Table(Caution, "cautions.toml", "caution", _caution),
    Table(SetUp, "set_ups.toml", "set_up"),
    Table(Check, "checks.toml", "check"),
    Table(Remedy, "remedies.toml", "remedy", _remedy),
    Table(Cause, "causes.toml", "cause", _cause),
    Table(MeasuredRange, "ranges.toml", "range"),
    Table(PinShare, "pin_shares.toml", "pin_share"),
)
