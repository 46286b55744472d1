"""Nobody else reaches the socket, and no folder that exists is opened or closed."""

import os
import stat
from pathlib import Path

import pytest

from shop.database.accounts import Account
from shop.database.folders import make_private, refuse_unless_private
from tests.shop.database.conftest import processes

US = Account(os.geteuid(), os.getegid())
# Linux unix(7): the name of a socket has 108 bytes, its closing zero among them.
SOCKET_NAME_BYTES = 107


def mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


def modes_above(*paths: Path) -> dict[Path, int]:
    above = {folder for path in paths for folder in (path, *path.parents)}
    return {folder: mode(folder) for folder in above if folder.exists()}


paths = pytest.mark.parametrize(
    "var_dir", ["var", "x" * 150], indirect=True, ids=["short path", "long path"]
)


@paths
def test_the_socket_is_closed_to_others(server, run):
    assert run().ask() == ["here"]
    (socket,) = server.socket_folder.glob(".s.PGSQL.*[0-9]")
    assert len(os.fsencode(socket)) <= SOCKET_NAME_BYTES
    assert mode(server.socket_folder) == 0o700
    assert mode(socket) == 0o700


@paths
def test_a_link_in_the_place_of_the_socket_folder_is_refused(server, run, tmp_path):
    server.socket_folder.parent.mkdir(parents=True, exist_ok=True)
    server.socket_folder.symlink_to(tmp_path)
    (problem,) = run().ask()
    server.socket_folder.unlink()
    assert f"{server.socket_folder} is not a folder of this server's user" in problem
    assert processes(server) == {}


def test_a_folder_of_our_own_is_made_and_accepted(tmp_path):
    make_private(tmp_path / "socket", US)
    assert mode(tmp_path / "socket") == 0o700
    refuse_unless_private(tmp_path / "socket", US)


def test_a_folder_of_another_user_is_refused(tmp_path):
    (tmp_path / "socket").mkdir(mode=0o700)
    with pytest.raises(PermissionError, match="not a folder of this server's user"):
        refuse_unless_private(tmp_path / "socket", Account(US.uid + 1, US.gid))


@pytest.mark.parametrize("too_open", [0o710, 0o701, 0o755, 0o777])
def test_a_folder_that_others_enter_is_refused_and_stays_as_it_is(tmp_path, too_open):
    (tmp_path / "socket").mkdir()
    (tmp_path / "socket").chmod(too_open)
    with pytest.raises(PermissionError, match="open to other users"):
        make_private(tmp_path / "socket", US)
    assert mode(tmp_path / "socket") == too_open


def test_no_folder_above_data_socket_or_programs_changes_its_mode(server, run, var_dir):
    var_dir.mkdir(mode=0o750)
    watched = (var_dir, server.home, server.socket_folder, server.binaries)
    before = modes_above(*watched)
    assert run().ask() == ["here"]
    after = modes_above(*watched)
    assert {folder: after[folder] for folder in before} == before


def test_the_data_is_closed_to_others(server, run):
    assert run().ask() == ["here"]
    assert mode(server.data) == 0o700
    assert mode(server.log) == 0o600
