"""Which database the project works on: the one that is named, or a server of its own."""

import hashlib
import os
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

from django.core.exceptions import ImproperlyConfigured
from environ import Env

from shop.database.cluster import APPLICATION, DATABASE, OWNER, ROOTS_HOME, wheel_folder
from shop.database.server import PORT, EmbeddedServer

Settings = dict[str, Any]

ENGINE = "shop.database"
WHEEL_MAJOR = 18
# The longest name of a socket. Source: sun_path in sys/un.h, less its closing zero.
SOCKET_NAME_BYTES = 103 if sys.platform == "darwin" else 107
SOCKET_NAME = f".s.PGSQL.{PORT}"

CONNECT_TIMEOUT_SECONDS = 5
KEPT_OPEN_SECONDS = 60
OWNER_LIMITS = {"lock_timeout": "10s"}
APPLICATION_LIMITS = OWNER_LIMITS | {
    # A report over thousands of parts is grouped in memory: two years of 2 000 take 9 MB.
    "work_mem": "16MB",
    "statement_timeout": "30s",
    "idle_in_transaction_session_timeout": "60s",
}
# Together they bound how long a request waits for a connection after the server was lost.
POOL_TIMEOUTS_SECONDS = {"timeout": 10, "reconnect_timeout": 5}


def databases(env: Env, var_dir: Path) -> dict[str, Settings]:
    """Return Django's DATABASES: `default` for the application, `owner` for the tables' owner.

    Nothing is started: that is done by the first connection.

    Raises:
        ImproperlyConfigured: there is neither a DATABASE_URL nor a server's programs.
    """
    url = env.str("DATABASE_URL", default="")
    if url:
        default = _named(env, url)
        owner = _named(env, env.str("DATABASE_OWNER_URL", default="") or url)
    else:
        server = embedded_server(env, var_dir)
        default = _embedded(server, APPLICATION)
        owner = _embedded(server, OWNER)
    _limit(default, APPLICATION_LIMITS)
    _limit(owner, OWNER_LIMITS)
    if size := env.int("DATABASE_POOL_SIZE", default=0):
        default["OPTIONS"]["pool"] = {"min_size": 1, "max_size": size, **POOL_TIMEOUTS_SECONDS}
        default["CONN_MAX_AGE"] = 0
    owner["TEST"] = {"MIRROR": "default"}
    return {"default": default, "owner": owner}


def embedded_server(env: Env, var_dir: Path) -> EmbeddedServer:
    """Return the server of the installation whose data is in `var_dir`, running or not.

    Raises:
        ImproperlyConfigured: its programs are missing.
    """
    binaries, major = _binaries(env.str("POSTGRES_BIN", default=""))
    # Root's server runs as another user, for whom nothing above `var_dir` is opened.
    parent = var_dir if os.geteuid() else ROOTS_HOME / _digest(var_dir)
    home = parent / f"postgres-{major}"
    return EmbeddedServer(binaries, major, home, _socket_folder(home))


def _binaries(folder: str) -> tuple[Path, int]:
    if not folder:
        try:
            return wheel_folder() / f"pginstall{WHEEL_MAJOR}" / "bin", WHEEL_MAJOR
        except ModuleNotFoundError as error:
            raise ImproperlyConfigured(
                f"{error} Install requirements.txt, or set DATABASE_URL or POSTGRES_BIN."
            ) from error
    command = [str(Path(folder) / "postgres"), "--version"]
    try:
        said = subprocess.run(command, capture_output=True, text=True, check=True)  # noqa: S603
    except (OSError, subprocess.CalledProcessError) as error:
        raise ImproperlyConfigured(f"POSTGRES_BIN has no `postgres` that runs: {error}") from error
    major = re.search(r"\(PostgreSQL\) (\d+)", said.stdout)
    if major is None:
        raise ImproperlyConfigured(f"POSTGRES_BIN: not PostgreSQL: {said.stdout}")
    return Path(folder), int(major[1])


def _socket_folder(home: Path) -> Path:
    beside_data = home / "socket"
    if len(os.fsencode(beside_data / SOCKET_NAME)) <= SOCKET_NAME_BYTES:
        return beside_data
    # The same for every process of this user, whatever its environment says.
    return Path("/tmp") / f"piano-repair-shop-{os.geteuid()}-{_digest(home)}"  # noqa: S108


def _digest(path: Path) -> str:
    return hashlib.sha256(os.fsencode(path)).hexdigest()[:12]


def _embedded(server: EmbeddedServer, user: str) -> Settings:
    return {
        "ENGINE": ENGINE,
        "NAME": DATABASE,
        "USER": user,
        "HOST": str(server.socket_folder),
        "PORT": str(PORT),
        "EMBEDDED_SERVER": server,
    }


def _named(env: Env, url: str) -> Settings:
    settings: Settings = env.db_url_config(url, engine=ENGINE)
    return settings


def _limit(settings: Settings, limits: dict[str, str]) -> None:
    options = settings.setdefault("OPTIONS", {})
    own = [f"-c {name}={value}" for name, value in limits.items()]
    # The last one counts, so that the URL may ask for other limits.
    options["options"] = " ".join([*own, str(options.get("options", ""))]).strip()
    options.setdefault("connect_timeout", CONNECT_TIMEOUT_SECONDS)
    settings.setdefault("CONN_MAX_AGE", KEPT_OPEN_SECONDS)
    settings.setdefault("CONN_HEALTH_CHECKS", True)
