"""Checks that read the code: each is a command that a person can run as it stands here."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PRODUCTION = {
    "SECRET_KEY": "production-checks-want-a-long-key-0123456789-abcdefghij",
    "ALLOWED_HOSTS": "shop.example",
    "HTTPS": "true",
    "DEBUG": "false",
}

pytestmark = pytest.mark.guard


BIN = Path(sys.executable).parent


def run(*command: str, **environment: str) -> None:
    result = subprocess.run(
        [BIN / command[0], *command[1:]],
        cwd=ROOT,
        env=os.environ | environment,
        capture_output=True,
        text=True,
        check=False,
    )
    assert result.returncode == 0, f"{' '.join(command)}\n{result.stdout}\n{result.stderr}"


def test_the_linter_finds_nothing():
    run("ruff", "check", ".")


def test_the_formatter_would_change_nothing():
    run("ruff", "format", "--check", ".")


def test_the_types_hold():
    run("mypy")


def test_imports_run_downwards():
    run("lint-imports", "--no-cache")


def test_the_migrations_are_complete():
    run("python", "manage.py", "makemigrations", "--check", "--dry-run")


def test_production_settings_are_safe():
    run("python", "manage.py", "check", "--deploy", "--fail-level", "WARNING", **PRODUCTION)


def test_the_api_description_is_valid():
    run("python", "manage.py", "spectacular", "--validate", "--fail-on-warn", "--file", os.devnull)


def test_files_stay_short():
    long = {
        str(path.relative_to(ROOT)): lines
        for app in ("shop", "diagnostics", "billing", "tests")
        for path in (ROOT / app).rglob("*.py")
        if "migrations" not in path.parts and (lines := len(path.read_text().splitlines())) > 300
    }
    assert long == {}


def test_the_top_level_is_the_agreed_one():
    tracked = subprocess.run(
        ["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout.splitlines()
    tops = {name.split("/")[0] for name in tracked if not name.startswith(".")}
    documents = {"README.md", "DEVELOPERS.md", "manage.py", "requirements.txt", "pyproject.toml"}
    assert tops == documents | {"shop", "diagnostics", "billing", "fixtures", "tests"}
