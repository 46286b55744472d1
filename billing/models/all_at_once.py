"""What a quote promises is stored with it, and nothing is added later."""

import pgtrigger

from shop.models.guards import Guard


def all_at_once(model: str, message: str, parent: str = "quote_id") -> Guard:
    """Return the guard that gives a `parent` all its rows of `model` in one statement, none later.

    However many inserts the statement has, they count together.
    """
    return Guard(
        name=f"{model}_all_at_once",
        code="promise-fixed",
        message=message,
        level=pgtrigger.Statement,
        when=pgtrigger.After,
        operation=pgtrigger.Insert,
        referencing=pgtrigger.Referencing(new="new_rows"),
        refuse_when=(
            # Counted, so that the index on the parent is used however many rows there are.
            f"(SELECT count(*) FROM {model}"
            f" WHERE {parent} = ANY (ARRAY(SELECT DISTINCT {parent} FROM new_rows)))"
            " <> (SELECT count(*) FROM new_rows)"
        ),
    )
