"""Locks on files, which the kernel gives back when their holder ends, however it ends."""

import fcntl
import os
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

POLL_SECONDS = 0.02


def lock_taken(path: Path, kind: int, deadline: float) -> int:
    """Return a descriptor of `path` that holds the lock; closing it gives the lock back.

    `kind` is `fcntl.LOCK_SH` or `fcntl.LOCK_EX`, `deadline` a reading of `time.monotonic()`.
    Processes forked from this one share the lock, programs that it starts do not.

    Raises:
        TimeoutError: another process held the lock until the deadline.
    """
    descriptor = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
    while True:
        try:
            fcntl.flock(descriptor, kind | fcntl.LOCK_NB)
        except BlockingIOError:
            if time.monotonic() > deadline:
                os.close(descriptor)
                raise TimeoutError(f"Another process keeps {path} locked.") from None
            time.sleep(POLL_SECONDS)
        else:
            return descriptor


@contextmanager
def locked(path: Path, deadline: float) -> Iterator[None]:
    """Hold the exclusive lock on `path` for the block.

    Raises:
        TimeoutError: another process held the lock until the deadline.
    """
    descriptor = lock_taken(path, fcntl.LOCK_EX, deadline)
    try:
        yield
    finally:
        os.close(descriptor)
