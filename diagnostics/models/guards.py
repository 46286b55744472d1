"""Guards that several tables of this app share: the note and the action must exist."""

import pgtrigger

from shop.models.guards import Guard

NOTE_IN_COMPASS = """
    NEW.note_midi IS NOT NULL AND NOT EXISTS (
        SELECT FROM diagnostics_examination AS examination
        JOIN shop_instrument AS instrument ON instrument.id = examination.instrument_id
        WHERE examination.id = NEW.examination_id
          AND NEW.note_midi BETWEEN instrument.lowest_midi AND instrument.highest_midi)
"""


def note_in_compass(model: str) -> Guard:
    """Return the guard that keeps `note_midi` inside the examined instrument's compass."""
    return Guard(
        name=f"{model}_note_in_compass",
        code="note-outside-compass",
        message="The instrument does not have this note.",
        operation=pgtrigger.Insert | pgtrigger.Update,
        refuse_when=NOTE_IN_COMPASS,
    )


def fits_action(model: str, tables: dict[str, str]) -> Guard:
    """Return the guard that keeps catalogue rows of another action out.

    `tables` maps each foreign key column to the catalogue table it points at.
    """
    missing = " OR ".join(
        f"NOT (action_here = ANY(COALESCE((SELECT actions FROM {table} WHERE id = NEW.{column}),"
        f" ARRAY[action_here])))"
        for column, table in tables.items()
    )
    return Guard(
        name=f"{model}_fits_action",
        code="not-in-this-action",
        message="This kind of action does not have that.",
        operation=pgtrigger.Insert | pgtrigger.Update,
        declare=[("action_here", "varchar")],
        before_check="""
            SELECT instrument.action INTO action_here
            FROM diagnostics_examination AS examination
            JOIN shop_instrument AS instrument ON instrument.id = examination.instrument_id
            WHERE examination.id = NEW.examination_id;
        """,
        refuse_when=missing,
    )
