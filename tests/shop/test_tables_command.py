from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.db import connection
from django.db.migrations.recorder import MigrationRecorder


@pytest.mark.parametrize(
    "command",
    [["daily"], ["diagnosis_trial"], ["load_catalogue"], ["reorder_trial"], ["token", "owner"]],
    ids=" ".join,
)
@pytest.mark.parametrize("app", ["shop", "diagnostics", "billing"])
def test_without_its_tables_a_command_says_how_to_make_them(db, command, app):
    MigrationRecorder(connection).migration_qs.filter(app=app).delete()
    with pytest.raises(CommandError, match=r"run python manage\.py serve, or"):
        call_command(*command, stdout=StringIO())
