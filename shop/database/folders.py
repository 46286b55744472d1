"""Folders that only their owner enters. No folder that exists ever gets another mode."""

import os
import shutil
import stat
import tempfile
from pathlib import Path

from shop.database.accounts import Account


def make_passable(folder: Path) -> None:
    """Make `folder` and what is missing above it: to list for its maker, to pass for all."""
    for missing in reversed((folder, *folder.parents)):
        if not missing.exists():
            missing.mkdir(exist_ok=True)
            missing.chmod(0o711)


def make_private(folder: Path, account: Account) -> None:
    """Make `folder` for `account` alone, or refuse the one that is there.

    Raises:
        PermissionError: it is a link, another's, or open to others.
    """
    if not os.path.lexists(folder):
        # Put there when it is as it must be: others look at it without a lock.
        draft = Path(tempfile.mkdtemp(prefix=folder.name, dir=folder.parent))
        if account.switch:
            os.chown(draft, account.uid, account.gid)
        draft.rename(folder)
    refuse_unless_private(folder, account)


def refuse_unless_private(folder: Path, account: Account) -> None:
    """Return when nobody but `account` can reach into `folder`, or when there is no such folder.

    Raises:
        PermissionError: it is a link, another's, or open to others.
    """
    try:
        found = folder.lstat()
    except FileNotFoundError:
        return
    if not stat.S_ISDIR(found.st_mode) or found.st_uid != account.uid:
        raise PermissionError(
            f"{folder} is not a folder of this server's user. Whoever owns it could read and"
            " change all data. Find out who made it, and remove it."
        )
    if found.st_mode & 0o077:
        raise PermissionError(
            f"{folder} is open to other users, who could read and change all data."
            f" Close it: chmod 700 {folder}"
        )


def make_readable_copy(source: Path, target: Path) -> None:
    """Copy a tree of programs to `target`, where everyone may run them."""
    make_passable(target.parent)
    shutil.copytree(source, target, ignore=shutil.ignore_patterns("include", "pkgconfig", "*.a"))
    for path in (target, *target.rglob("*")):
        runs = path.is_dir() or path.stat().st_mode & 0o100
        path.chmod(0o755 if runs else 0o644)
