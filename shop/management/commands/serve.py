"""Serve the API on this machine, after making everything it needs."""

import os
import sys
from argparse import ArgumentParser
from datetime import timedelta
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand
from django.utils import timezone
from granian.constants import Interfaces
from granian.server import Server

from shop.actions.users import token_issue, user_create
from shop.models import Role, User
from shop.queries.users import has_owners_token

THREADS = 4


class Command(BaseCommand):
    """Migrate, load the catalogue, make an owner's token when there is none, and serve."""

    help = (
        "Bring the database up to date, load the catalogue, make a first owner and a token when no"
        " owner has one, and serve the API until interrupted."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Declare where to listen."""
        parser.add_argument("--host", default="127.0.0.1", help="address (default %(default)s)")
        parser.add_argument("--port", type=int, default=8000, help="port (default %(default)s)")

    def handle(self, *args: Any, host: str, port: int, **options: Any) -> None:  # noqa: ARG002
        """Prepare, say where things are, and serve."""
        call_command("migrate", verbosity=0)
        call_command("load_catalogue", verbosity=0)
        self._first_token()
        address = f"http://{host}:{port}"
        self.stdout.write(f"The API is at      {address}/api/v1/")
        self.stdout.write(f"Its description at {address}/api/docs")
        self.stdout.write(f"The office's pages {address}/admin/")
        self.stdout.write("Ctrl-C ends it.")
        sys.stdout.flush()
        # The server's worker reads the settings anew; this gives it one connection a thread.
        os.environ["DATABASE_POOL_SIZE"] = str(THREADS)
        Server(
            "shop.wsgi:application",
            address=host,
            port=port,
            interface=Interfaces.WSGI,
            blocking_threads=THREADS,
            log_enabled=settings.DEBUG,
        ).serve()

    def _first_token(self) -> None:
        if has_owners_token(now=timezone.now()):
            return
        owner = User.objects.filter(role=Role.OWNER, is_active=True).order_by("pk").first()
        owner = owner or user_create(username="owner", role=Role.OWNER, is_staff=True)
        token = token_issue(user=owner, lasts=timedelta(days=90))
        self.stdout.write(f"A token of {owner.username}. It is shown once; keep it:")
        self.stdout.write(f"    Authorization: Bearer {token}")
