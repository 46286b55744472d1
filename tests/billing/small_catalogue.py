"""A catalogue of one or two rows a table, invented, which tests write out and change."""

from io import StringIO
from pathlib import Path

from django.core.management import call_command

FILES = {
    "components.toml": """
        [[component]]
        code = "hammer-centre"
        name = "Hammer centre"
        actions = ["upright", "grand"]
        provenance = "common practice"
    """,
    "faults.toml": """
        [[fault]]
        code = "slow-return"
        name = "Slow return"
        letter = "R"
        actions = ["upright", "grand"]
        provenance = "common practice"
    """,
    "set_ups.toml": """
        [[set_up]]
        code = "action-out"
        name = "Action out"
        actions = ["upright"]
        depth = 3
        minutes_low = 15
        minutes_likely = 20
        minutes_high = 30
        provenance = "estimate"
    """,
    "checks.toml": """
        [[check]]
        code = "swing"
        name = "Swing test"
        actions = ["upright"]
        scope = "note"
        instruction = "Let the hammer swing."
        set_up = "action-out"
        minutes_low = 0.2
        minutes_likely = 0.5
        minutes_high = 1
        provenance = "common practice"
    """,
    "tools.toml": """
        [[tool]]
        code = "reamer"
        name = "Reamer"
        provenance = "common practice"

        [[tool]]
        code = "burnisher"
        name = "Burnisher"
        provenance = "common practice"
    """,
    "cautions.toml": """
        [[caution]]
        code = "two-people"
        title = "Two people move a piano"
        text = "Never alone."
        topics = ["moving"]
        provenance = "common practice"
    """,
    "parts.toml": """
        [[part]]
        code = "pin-20"
        name = "Centre pin 20"
        category = "centre_pin"
        size_scheme = "inch"
        size_label = "20"
        diameter_um = 1270
        price = 0.40
        cost = 0.10
        tax_category = "goods"
        provenance = "published"
        source = "A technician's page"

        [[part]]
        code = "glue"
        name = "Glue"
        category = "glue"
        unit = "millilitre"
        pack_quantity = 250
        price = 0.05
        cost = 0.02
        tax_category = "goods"
        provenance = "estimate"
    """,
    "remedies.toml": """
        [[remedy]]
        code = "repin"
        name = "Repin"
        actions = ["upright"]
        set_up = "action-out"
        charged_per = "note"
        minutes_low = 3
        minutes_likely = 4
        minutes_high = 8
        kit = "centre_pin"
        pins_per_note = 1
        parts = [{ part = "glue", quantity = 0.5 }]
        tools = ["reamer", "burnisher"]
        cautions = ["two-people"]
        provenance = "estimate"
    """,
    "causes.toml": """
        [[cause]]
        code = "tight-centre"
        name = "Tight centre"
        actions = ["upright"]
        component = "hammer-centre"
        signs = "The hammer comes back slowly."
        checks = [{ check_made = "swing", positive_share = 0.9 }]
        faults = [{ fault = "slow-return", share = 0.7 }]
        room = { dry = 0.1, in_range = 0.3, damp = 0.4, swung = 0.2 }
        remedy = "repin"
        provenance = "common practice"
    """,
    "ranges.toml": """
        [[range]]
        code = "hammer-swings"
        name = "Swings of a hammer"
        quantity = "swings"
        component = "hammer-centre"
        actions = ["grand"]
        low = 4
        high = 8
        swings_counted = "passes"
        provenance = "common practice"
    """,
    "price_book.toml": """
        [[tax_category]]
        code = "goods"
        name = "Goods"
        en16931_code = "S"
        provenance = "estimate"

        [[labour_rate]]
        code = "bench-hour"
        name = "Bench hour"
        per_hour = 60
        tax_category = "goods"
        valid_from = 2000-01-01
        provenance = "estimate"

        [[fee]]
        code = "travel"
        name = "Travel"
        kind = "travel"
        amount = 25
        tax_category = "goods"
        provenance = "estimate"
    """,
    "species.toml": """
        [[species]]
        code = "balsa"
        name = "Balsa"
        radial_coefficient = 0.001
        tangential_coefficient = 0.002
        radial_shrinkage_percent = 3
        tangential_shrinkage_percent = 6
        provenance = "estimate"
    """,
    "pin_shares.toml": """
        [[pin_share]]
        code = "pin-share-20"
        name = "Size 20"
        size_label = "20"
        share = 0.35
        provenance = "estimate"
    """,
}


def catalogue_write(folder: Path, **changes: dict[str, str]) -> Path:
    """Write the small catalogue, with texts replaced by others in the files that are named."""
    for name, shipped in FILES.items():
        text = shipped
        for old, new in changes.get(name.removesuffix(".toml"), {}).items():
            assert old in text, f"{name} has no {old}"
            text = text.replace(old, new)
        (folder / name).write_text(text)
    return folder


def load(folder, **options):
    printed = StringIO()
    call_command("load_catalogue", folder=folder, stdout=printed, **options)
    return printed.getvalue()


def counts(printed, table):
    """The numbers of added, updated, kept and unchanged rows that were printed for a table."""
    (line,) = [line for line in printed.splitlines() if line.startswith(table)]
    return [int(number) for number in line.removeprefix(table).split()]
