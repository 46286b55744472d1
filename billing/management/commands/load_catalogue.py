"""Load the shipped catalogue of the trade and its price book."""

from argparse import ArgumentParser
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import CommandError
from django.db import IntegrityError, transaction

from billing.actions.catalogue import catalogue_load
from shop.actions.catalogue import Loaded
from shop.errors import InvalidInput
from shop.http.database_problems import database_problem
from shop.management.tables import TablesCommand
from shop.rules.catalogue import Fate

SHIPPED = settings.BASE_DIR / "fixtures" / "catalogue"


class Command(TablesCommand):
    """Load the catalogue, leaving alone what the shop has edited."""

    help = (
        "Load the catalogue of the trade and the price book. New rows are added and rows that"
        " nobody has touched are brought up to date; what the shop has edited, or a price or part"
        " that it has taken away, stays as the shop wants it. All is loaded, or nothing."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Declare what can be said on the command line."""
        parser.add_argument(
            "--dry-run", action="store_true", help="say what would change, and change nothing"
        )
        parser.add_argument(
            "--folder",
            type=Path,
            default=SHIPPED,
            help="where the catalogue's TOML files are (default: the ones that ship)",
        )

    @transaction.atomic
    def handle(self, *args: Any, folder: Path, dry_run: bool, **options: Any) -> None:  # noqa: ARG002
        """Load, and print what became of the rows."""
        try:
            loaded = catalogue_load(folder=folder)
        except InvalidInput as error:
            raise CommandError(f"Nothing was loaded.\n{error.detail}") from error
        except IntegrityError as error:
            problem = database_problem(error)
            raise CommandError(f"Nothing was loaded. {problem or error}") from error
        if dry_run:
            transaction.set_rollback(True)
        if options["verbosity"]:
            self._print(loaded)
            self.stdout.write("Nothing was stored." if dry_run else "The catalogue is loaded.")

    def _print(self, loaded: Iterable[Loaded]) -> None:
        self.stdout.write(f"{'':20}" + "".join(f"{fate:>16}" for fate in Fate))
        for table in loaded:
            name = str(table.model._meta.verbose_name_plural)
            counts = "".join(f"{table.counts[fate]:16}" for fate in Fate)
            self.stdout.write(f"{name:20}{counts}")
