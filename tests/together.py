"""Work that is done at the same time, each on a connection of its own."""

import os
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from threading import Barrier

from django.conf import settings
from django.db import connections


def at_once(number, work):
    """Return what `work(0)`, `work(1)` ... return in `number` threads that start together."""
    start = Barrier(number)

    def run(index):
        start.wait(timeout=10)
        try:
            return work(index)
        finally:
            connections.close_all()

    with ThreadPoolExecutor(number) as threads:
        return list(threads.map(run, range(number)))


def run_program(module, *arguments, environment):
    """Return what another process says that runs `module` with this environment."""
    program = subprocess.run(
        [sys.executable, "-m", module, *map(str, arguments)],
        env=os.environ | environment,
        cwd=settings.BASE_DIR,
        capture_output=True,
        text=True,
        timeout=600,
        check=False,
    )
    assert program.returncode == 0, program.stderr
    return program.stdout
