"""Servers of the tests' own, each with its data in a folder that goes with the test."""

import fcntl
import json
import os
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest
from environ import Env

from shop.database.configuration import embedded_server
from shop.database.locks import lock_taken
from shop.database.server import EmbeddedServer

ROOT = Path(__file__).resolve().parents[3]
STOP_SECONDS = 10


class Program:
    """A running `program.py`."""

    def __init__(self, var_dir: Path, environment: dict[str, str]) -> None:
        inherited = {key: value for key, value in os.environ.items() if "DATABASE" not in key}
        self.process = subprocess.Popen(
            [sys.executable, Path(__file__).with_name("program.py"), var_dir],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            env=inherited | environment | {"PYTHONPATH": os.pathsep.join([str(ROOT), *sys.path])},
        )

    def say(self, statement: str, threads: int = 1) -> None:
        self.process.stdin.write(json.dumps([statement, threads]) + "\n")
        self.process.stdin.flush()

    def hear(self) -> list[str]:
        return json.loads(self.process.stdout.readline())

    def ask(self, statement: str = "SELECT 'here'", threads: int = 1) -> list[str]:
        self.say(statement, threads)
        return self.hear()

    def end(self) -> None:
        self.process.stdin.close()
        self.process.wait(timeout=10)
        self.process.stdout.close()


@pytest.fixture
def var_dir(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    """Where an installation keeps its data; a test may ask for another name."""
    return tmp_path / getattr(request, "param", "var")


@pytest.fixture
def server(var_dir: Path) -> Iterator[EmbeddedServer]:
    """The server of `var_dir`, which no program has asked for yet."""
    server = embedded_server(Env(), var_dir)
    yield server
    if server.home.exists():
        await_end(server)
        shutil.rmtree(server.home.parent)
    if server.socket_folder.is_dir():
        server.socket_folder.rmdir()


@pytest.fixture
def run(server: EmbeddedServer, var_dir: Path) -> Iterator[Callable[..., Program]]:
    """Starts programs that use the server; those still running end with the test."""
    with ExitStack() as ends:

        def start(**environment: str) -> Program:
            program = Program(var_dir, environment)
            ends.callback(program.end)
            return program

        yield start


def processes(server: EmbeddedServer) -> dict[str, int]:
    """Return the ids of the server's main process and of its keeper, as far as they live."""
    listing = subprocess.run(
        ["ps", "-axww", "-o", "pid=,stat=,args="], capture_output=True, text=True, check=True
    )
    found = {}
    for line in listing.stdout.splitlines():
        pid, state, arguments = line.split(maxsplit=2)
        if str(server.data) in arguments and not state.startswith("Z"):
            found["keeper" if "keeper.py" in arguments else "server"] = int(pid)
    return found


def await_end(server: EmbeddedServer) -> None:
    """Return once no process of the server is left, or fail."""
    os.close(lock_taken(server.server_lock, fcntl.LOCK_EX, time.monotonic() + STOP_SECONDS))
    deadline = time.monotonic() + STOP_SECONDS
    while left := processes(server):
        assert time.monotonic() < deadline, f"left behind: {left}"
        time.sleep(0.05)


def kill(pid: int) -> None:
    os.kill(pid, signal.SIGKILL)


def kill_server(server: EmbeddedServer) -> None:
    """Kill the main process, and let the connections' processes notice it."""
    kill(processes(server)["server"])
    time.sleep(0.2)
