"""A PostgreSQL server of one's own: started when it is needed, stopped when nobody needs it."""

import fcntl
import json
import os
import select
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path

import psycopg
from psycopg.conninfo import make_conninfo
from psycopg.pq import PGconn, Ping

from shop.database import cluster, folders, keeper
from shop.database.accounts import Account, account_made
from shop.database.locks import POLL_SECONDS, lock_taken, locked

PORT = 5432  # part of the socket's name; no port is opened
START_LIMIT_SECONDS = 60
LOG_TAIL_LINES = 20
SETTINGS = {
    "listen_addresses": "",
    "port": str(PORT),
    "unix_socket_permissions": "0700",
    "max_connections": "100",
    "max_wal_size": "256MB",
    # The log tells of the server, not of refused rows: those would put client data into it.
    "log_min_messages": "log",
    "log_checkpoints": "off",
}

# The users' lock of each home, which this process holds until it ends.
_users_locks: dict[Path, int] = {}


class ServerNotStarted(psycopg.OperationalError):
    """The server could not be started; the message says why and what to do."""


@dataclass(frozen=True)
class EmbeddedServer:
    """One server: the programs that run it, and where its files are."""

    binaries: Path
    major: int
    home: Path
    socket_folder: Path

    @property
    def data(self) -> Path:
        """The data folder."""
        return self.home / "data"

    @property
    def log(self) -> Path:
        """The log of the present or last run."""
        return self.home / "server.log"

    @property
    def users_lock(self) -> Path:
        """The file that each process which uses the server holds a shared lock on."""
        return self.home / "users.lock"

    @property
    def server_lock(self) -> Path:
        """The file that is locked as long as any process of the server lives."""
        return self.home / "server.lock"

    def ensure_running(self) -> None:
        """Start the server unless it runs, and keep it running until this process has ended.

        Raises:
            ServerNotStarted: it does not accept connections within 60 s.
        """
        deadline = time.monotonic() + START_LIMIT_SECONDS
        try:
            account = account_made()
            self._enrol(deadline)
            if self._ping(account) is not Ping.OK:
                with locked(self.home / "start.lock", deadline):
                    self._start(account, deadline)
        except OSError as error:
            raise ServerNotStarted(self._explained(error)) from error

    def _enrol(self, deadline: float) -> None:
        folders.make_passable(self.home)
        held = _users_locks.get(self.home)
        # A home that was removed and made anew has another lock.
        if held is None or not (
            self.users_lock.exists() and os.path.samestat(os.fstat(held), self.users_lock.stat())
        ):
            _users_locks[self.home] = lock_taken(self.users_lock, fcntl.LOCK_SH, deadline)

    def _ping(self, account: Account) -> Ping:
        folders.refuse_unless_private(self.socket_folder, account)
        conninfo = make_conninfo(
            host=str(self.socket_folder),
            port=PORT,
            user=cluster.APPLICATION,
            dbname="postgres",
            connect_timeout=5,
        )
        return Ping(PGconn.ping(conninfo.encode()))

    def _start(self, account: Account, deadline: float) -> None:
        keeper_end: int | None = None
        try:
            while (ping := self._ping(account)) is not Ping.OK:
                if time.monotonic() > deadline:
                    raise TimeoutError(f"It does not answer within {START_LIMIT_SECONDS} s.")
                if keeper_end is not None:
                    _watch(keeper_end)
                elif ping is Ping.NO_RESPONSE:
                    keeper_end = self._start_keeper(account)
                else:
                    # It is recovering, or still stopping.
                    time.sleep(POLL_SECONDS)
        finally:
            if keeper_end is not None:
                os.close(keeper_end)

    def _start_keeper(self, account: Account) -> int:
        """Return a pipe's end that reads as closed once the keeper has ended."""
        folders.make_private(self.socket_folder, account)
        binaries = cluster.reachable_binaries(self.binaries, account)
        cluster.ensure_data(binaries, self.major, self.data, account)
        if self.log.exists():
            self.log.replace(self.log.with_suffix(".log.1"))
        self.log.touch(mode=0o600)
        keeper_end, starter_end = os.pipe()
        order = keeper.Order(
            command=self._command(binaries),
            account=account.switch,
            users_lock=str(self.users_lock),
            server_lock=str(self.server_lock),
            leftovers=self._leftovers(),
            starter=starter_end,
        )
        try:
            self._launch(order)
        finally:
            os.close(starter_end)
        return keeper_end

    def _launch(self, order: keeper.Order) -> None:
        with self.log.open("ab") as log:
            subprocess.run(  # noqa: S603  (our own command line)
                [sys.executable, "-IS", keeper.__file__, json.dumps(order._asdict())],
                stdin=subprocess.DEVNULL,
                stdout=log,
                stderr=log,
                pass_fds=[order.starter],
                start_new_session=True,
                cwd="/",
                env=cluster.environment(),
                check=False,
            )

    def _command(self, binaries: Path) -> list[str]:
        # The setting is a list of folders; a name in quotes may hold any character.
        quoted = '"' + str(self.socket_folder).replace('"', '""') + '"'
        settings = SETTINGS | {"unix_socket_directories": quoted}
        options = [part for name, value in settings.items() for part in ("-c", f"{name}={value}")]
        return [str(binaries / "postgres"), "-D", str(self.data), *options]

    def _leftovers(self) -> list[str]:
        socket = self.socket_folder / f".s.PGSQL.{PORT}"
        return [str(self.data / "postmaster.pid"), str(socket), f"{socket}.lock"]

    def _explained(self, error: OSError) -> str:
        log = self.log.read_text(errors="replace") if self.log.exists() else ""
        tail = "\n".join(log.splitlines()[-LOG_TAIL_LINES:])
        return (
            f"PostgreSQL could not be started in {self.home}: {error}\n"
            f"The end of {self.log}:\n{tail or '(nothing)'}\n"
            "Put right what it says, or set DATABASE_URL to a server of your own."
        )


def _watch(keeper_end: int) -> None:
    poll = select.poll()
    poll.register(keeper_end, select.POLLIN)
    if poll.poll(POLL_SECONDS * 1000) and not os.read(keeper_end, 1):
        raise ChildProcessError("It ended while starting.")
