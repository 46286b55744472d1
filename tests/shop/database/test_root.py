"""Root's server, which PostgreSQL makes run as another user."""

import os
import shutil
import subprocess
import tempfile
from pathlib import Path

import pytest

from shop.database import cluster
from shop.database.accounts import SYSTEM_USER, account_made
from shop.database.configuration import WHEEL_MAJOR

pytestmark = pytest.mark.skipif(os.geteuid() != 0, reason="for root alone")


@pytest.fixture
def closed_wheel(tmp_path, monkeypatch):
    """The wheel in a folder that only root enters, installed under a strict umask."""
    closed = tmp_path / "closed"
    wheel = cluster.wheel_folder()
    programs = f"{wheel.name}/pginstall{WHEEL_MAJOR}"
    umask = os.umask(0o077)
    shutil.copytree(wheel.parent / programs, closed / programs)
    shutil.copytree(wheel.with_name(f"{wheel.name}.libs"), closed / f"{wheel.name}.libs")
    (closed / wheel.name / "__init__.py").touch()
    monkeypatch.syspath_prepend(closed)
    yield closed / wheel.name
    os.umask(umask)


@pytest.fixture
def roots_home(monkeypatch):
    home = Path(tempfile.mkdtemp(dir="/var/tmp"))
    home.chmod(0o711)
    monkeypatch.setattr(cluster, "ROOTS_HOME", home)
    yield home
    shutil.rmtree(home)


def test_the_server_runs_as_a_system_user(server, run):
    assert run().ask() == ["here"]
    assert server.data.owner() == SYSTEM_USER
    assert server.socket_folder.owner() == SYSTEM_USER
    assert server.home.is_relative_to("/var/lib/piano-repair-shop")


def test_programs_that_the_system_user_cannot_reach_are_copied(closed_wheel, roots_home, capsys):
    account = account_made()
    programs = closed_wheel / f"pginstall{WHEEL_MAJOR}" / "bin"
    copy = cluster.reachable_binaries(programs, account)
    assert copy.is_relative_to(roots_home)
    assert f"cannot reach {programs}" in capsys.readouterr().err
    # initdb needs the libraries too.
    subprocess.run([copy / "initdb", "--version"], check=True, **account.switch)
    assert closed_wheel.parent.stat().st_mode & 0o077 == 0

    assert cluster.reachable_binaries(programs, account) == copy
    assert capsys.readouterr().err == ""


def test_programs_that_the_system_user_reaches_are_used_where_they_are(roots_home):
    debian = Path("/usr/lib/postgresql/15/bin")
    if not debian.exists():
        pytest.skip("no programs outside the wheel")
    assert cluster.reachable_binaries(debian, account_made()) == debian
