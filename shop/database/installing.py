"""The triggers of an app's first tables, made by one step of a migration."""

from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.migrations.operations.base import Operation
from django.db.migrations.state import ProjectState


class InstallTriggers(Operation):
    """Make the triggers that the tables made by this migration name in their options.

    Each of pgtrigger's own steps has Django build again every model that is related, which took
    most of the time of a new database.
    """

    reversible = True

    def state_forwards(self, app_label: str, state: ProjectState) -> None:
        """Change nothing: the tables' options have the triggers."""

    def database_forwards(
        self,
        app_label: str,
        schema_editor: BaseDatabaseSchemaEditor,
        from_state: ProjectState,  # noqa: ARG002 - Django hands it over by position
        to_state: ProjectState,
    ) -> None:
        """Make the triggers of every table of the app."""
        for (app, _), model in to_state.models.items():
            if app == app_label:
                for trigger in model.options.get("triggers", []):
                    # The text is whole: without parameters its percent signs stand for themselves.
                    schema_editor.execute(trigger.install_sql, params=None)

    def database_backwards(
        self,
        app_label: str,
        schema_editor: BaseDatabaseSchemaEditor,
        from_state: ProjectState,
        to_state: ProjectState,
    ) -> None:
        """Do nothing: a dropped table takes its triggers with it."""

    def describe(self) -> str:
        """Return what `migrate --plan` shows."""
        return "Make the triggers of these tables"
