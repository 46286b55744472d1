"""Keep one PostgreSQL server running for as long as some process uses it.

Run by file name, in a process of its own that no terminal reaches, with the standard library
only. Two lock files say who lives:

- `users.lock`: every process that uses the server holds it shared. The keeper waits for it
  exclusively; once it has it nobody uses the server, and whoever comes now waits for the lock.
- `server.lock`: the keeper and every process of the server hold it, since they inherit its
  descriptor. Whoever gets it knows that nothing of the last server is left.

If the keeper is killed, Linux sends the server the signal for a fast shutdown. Where the kernel
has no such service, a killed keeper leaves the server to whoever killed it.
"""

import ctypes
import fcntl
import json
import os
import signal
import subprocess
import sys
from collections.abc import Callable
from contextlib import suppress
from functools import partial
from pathlib import Path
from threading import Thread
from typing import Any, NamedTuple

FAST_SHUTDOWN = signal.SIGINT
# Source: linux/prctl.h.
PR_SET_PDEATHSIG = 1
PR_SET_CHILD_SUBREAPER = 36


class Order(NamedTuple):
    """What to run: the server's command line, its account, its locks, and who waits for it."""

    command: list[str]
    account: dict[str, Any]
    users_lock: str
    server_lock: str
    leftovers: list[str]
    starter: int


def main() -> None:
    """Carry out the order in the first argument; returns at once, the work goes on behind."""
    order = Order(**json.loads(sys.argv[1]))
    if os.fork() > 0:
        return
    server_lock = os.open(order.server_lock, os.O_RDWR | os.O_CREAT, 0o600)
    fcntl.flock(server_lock, fcntl.LOCK_EX)
    try:
        os.write(order.starter, b".")
    except BrokenPipeError:
        # Whoever wanted the server has given up meanwhile.
        return
    # Their owner is gone, as the lock shows; its number may be someone else's by now, and
    # PostgreSQL would take that one for the owner.
    for leftover in order.leftovers:
        Path(leftover).unlink(missing_ok=True)
    server = _started(order, server_lock)
    signal.signal(signal.SIGTERM, lambda *_: server.send_signal(FAST_SHUTDOWN))
    follower = Thread(target=_follow, args=(server,))
    follower.start()
    users_lock = os.open(order.users_lock, os.O_RDWR | os.O_CREAT, 0o600)
    fcntl.flock(users_lock, fcntl.LOCK_EX)
    server.send_signal(FAST_SHUTDOWN)
    follower.join()


def _started(order: Order, server_lock: int) -> subprocess.Popen[bytes]:
    prctl = ctypes.CDLL(None).prctl if sys.platform == "linux" else None
    if prctl:
        # What a killed server leaves running becomes a child of this process.
        prctl(PR_SET_CHILD_SUBREAPER, 1, 0, 0, 0)
    return subprocess.Popen(  # noqa: S603  (our own command line)
        order.command,
        stdin=subprocess.DEVNULL,
        pass_fds=(server_lock,),
        preexec_fn=partial(_die_with, os.getpid(), prctl) if prctl else None,  # noqa: PLW1509
        **order.account,
    )


def _die_with(keeper: int, prctl: Callable[..., int]) -> None:
    # In the child, before it becomes the server and after it has changed its account.
    prctl(PR_SET_PDEATHSIG, FAST_SHUTDOWN, 0, 0, 0)
    if os.getppid() != keeper:
        os._exit(1)


def _follow(server: subprocess.Popen[bytes]) -> None:
    """End this process with the server, and first whatever the server has left behind."""
    server.wait()
    with suppress(ChildProcessError):
        while True:
            for orphan in _children():
                os.kill(orphan, signal.SIGKILL)
            os.wait()
    os._exit(0)


def _children() -> list[int]:
    lists = Path("/proc/self/task").glob("*/children")
    return [int(pid) for children in lists for pid in children.read_text().split()]


if __name__ == "__main__":
    main()
