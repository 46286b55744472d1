"""The demonstration: an invented shop does a whole job over HTTP."""

import json
import os
import signal
import socket
import subprocess
import sys
import time
import tomllib
from argparse import ArgumentParser
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import environ
import httpx
import psycopg
from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

from billing.management.demo.client import Caller
from billing.management.demo.story import Story
from shop.database.cluster import DATABASE, OWNER
from shop.database.configuration import embedded_server

SCENARIO = Path(settings.BASE_DIR) / "fixtures" / "demo"
VAR = Path(settings.BASE_DIR) / "var" / "demo"
FOREIGN = ("DATABASE_URL", "DATABASE_OWNER_URL", "CURRENCY", "TIME_ZONE", "ALLOWED_HOSTS", "HTTPS")
START_SECONDS = 60


class Command(BaseCommand):
    """Make a fresh database, serve on a free port here, and do the job as three users."""

    help = (
        "Show the whole job on an invented shop: findings, quote, stock, invoice, reorder report."
        " It has a database of its own in var/demo, made afresh each time, and ends by itself."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Declare where to write the exchange."""
        parser.add_argument(
            "--out",
            type=Path,
            metavar="DIR",
            help="also write every request and answer to DIR/exchange.json, and the quote, the"
            " invoice and the drawn keyboard beside it",
        )

    def handle(self, *args: Any, out: Path | None, **options: Any) -> None:  # noqa: ARG002
        """Run the story and say how to go on."""
        exchange: list[dict[str, Any]] = []
        self.stdout.write("Making a database in var/demo and starting the server ...")
        make_afresh()
        with served() as (address, token):
            story = self._story(address, token, exchange)
            documents = story.run()
        if out:
            written(out, {"exchange": exchange, **documents})
            self.stdout.write(f"\n{len(exchange)} requests and answers are in {out}/exchange.json.")
        self.stdout.write("\nTo go on with a shop of your own: python manage.py serve")

    def _story(self, address: str, token: str, exchange: list[dict[str, Any]]) -> Story:
        owner = Caller("owner", token, address, exchange)
        callers = {}
        for role in ("office", "technician"):
            user = owner.post("users", {"username": role, "role": role})
            issued = owner.post(f"users/{user['id']}/token", {"lasts_days": 1})
            callers[role] = Caller(role, issued["token"], address, exchange)
        scenario = tomllib.loads((SCENARIO / "scenario.toml").read_text())
        return Story(
            owner, callers["office"], callers["technician"], scenario, SCENARIO, self.stdout.write
        )


def make_afresh() -> None:
    """Give the demonstration's own server an empty database."""
    server = embedded_server(environ.Env(), VAR)
    server.ensure_running()
    with psycopg.connect(
        host=str(server.socket_folder), user=OWNER, dbname="postgres", autocommit=True
    ) as connection:
        connection.execute(f"DROP DATABASE IF EXISTS {DATABASE} WITH (FORCE)")
        connection.execute(f"CREATE DATABASE {DATABASE}")


@contextmanager
def served() -> Iterator[tuple[str, str]]:
    """Serve the demonstration's database; yields the address and the first owner's token."""
    port = free_port()
    command = [sys.executable, "manage.py", "serve", "--port", str(port)]
    environment = {name: value for name, value in os.environ.items() if name not in FOREIGN}
    process = subprocess.Popen(  # noqa: S603 (our own command)
        command,
        cwd=settings.BASE_DIR,
        env=environment | {"SHOP_VAR": str(VAR)},
        stdout=subprocess.PIPE,
        text=True,
    )
    try:
        token = token_told(process)
        address = f"http://127.0.0.1:{port}"
        wait_for(address)
        yield address, token
    finally:
        process.send_signal(signal.SIGINT)
        process.wait(timeout=START_SECONDS)


def free_port() -> int:
    """Return a port of the loopback address that nobody uses at the moment."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def token_told(process: "subprocess.Popen[str]") -> str:
    """Return the token that `serve` tells once.

    Raises:
        CommandError: it ended without telling one.
    """
    for line in process.stdout or ():
        if "Bearer " in line:
            return line.split("Bearer ")[1].strip()
    raise CommandError("The server did not start; what it said stands above.")


def wait_for(address: str) -> None:
    """Wait until the server answers.

    Raises:
        CommandError: it did not answer in time.
    """
    deadline = time.monotonic() + START_SECONDS
    while time.monotonic() < deadline:
        try:
            httpx.get(f"{address}/problems/", timeout=5)
        except httpx.TransportError:
            time.sleep(0.1)
        else:
            return
    raise CommandError(f"The server did not answer at {address} within {START_SECONDS} s.")


def written(folder: Path, documents: dict[str, Any]) -> None:
    """Write each document into `folder`: values as JSON, a picture as it is."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, document in documents.items():
        if isinstance(document, str):
            (folder / f"{name}.svg").write_text(document)
        else:
            text = json.dumps(document, indent=2, ensure_ascii=False)
            (folder / f"{name}.json").write_text(text + "\n")
