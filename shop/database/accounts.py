"""Whom the server runs as: whoever starts it, or a system user of its own when that is root."""

import os
import pwd
import subprocess
from dataclasses import dataclass, field
from typing import Any

SYSTEM_USER = "pgserver"


@dataclass(frozen=True)
class Account:
    """A user of this machine, and what `subprocess` needs to become it (nothing when it is us)."""

    uid: int
    gid: int
    switch: dict[str, Any] = field(default_factory=dict)


def account_made() -> Account:
    """Return the account for a server started by this process, which exists afterwards.

    PostgreSQL refuses to run as root, so root's server runs as the system user `pgserver`.

    Raises:
        ChildProcessError: that user is missing and cannot be made.
    """
    if os.geteuid() != 0:
        return Account(os.geteuid(), os.getegid())
    entry = _system_user() or _system_user_added()
    uid, gid = entry.pw_uid, entry.pw_gid
    return Account(uid, gid, {"user": uid, "group": gid, "extra_groups": []})


def _system_user() -> pwd.struct_passwd | None:
    try:
        return pwd.getpwnam(SYSTEM_USER)
    except KeyError:
        return None


def _system_user_added() -> pwd.struct_passwd:
    options = ["--system", "--user-group", "--no-create-home", "--home-dir", "/nonexistent"]
    command = ["useradd", *options, "--shell", "/usr/sbin/nologin", SYSTEM_USER]
    added = subprocess.run(  # noqa: S603  (our own command line)
        command, capture_output=True, text=True, check=False
    )
    # Another process may have been first, which useradd calls a failure.
    if entry := _system_user():
        return entry
    raise ChildProcessError(
        f"PostgreSQL refuses to run as root, and its user cannot be made:\n{added.stderr}"
        f"Make a system user named {SYSTEM_USER}, or work as a user who is not root."
    )
