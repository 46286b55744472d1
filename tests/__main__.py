"""Run every check: `python -m tests`.

The tests, the guards that read the code, and the schema checks, on the PostgreSQL of the wheel;
then those that ask the server something again on Debian's PostgreSQL 15 where that is installed.
Further arguments go to pytest.
"""

import os
import subprocess
import sys
from pathlib import Path

DEBIAN_15 = Path("/usr/lib/postgresql/15/bin")
# What asks the server nothing that the rest does not ask: what reads the code, plain rules, pages,
# and how requests are taken and answered. `house` has two that run each list and report once.
SAME_ON_EVERY_SERVER = (
    *("-m", "not guard", "--ignore-glob=*/rules/*", "--ignore-glob=*/pages/*"),
    *("--ignore-glob=*/api/*", "--ignore-glob=*/http/*", "--ignore-glob=*/house/test_[!cq]*"),
    *("--ignore=tests/browser", "--ignore=tests/contracts"),
)


def run(title: str, *arguments: str, **environment: str) -> bool:
    """Run pytest on all cores and say whether it passed."""
    print(f"== {title}", flush=True)
    spread = ("-n", "auto", "--dist", "worksteal")
    command = [sys.executable, "-m", "pytest", *spread, *arguments, *sys.argv[1:]]
    return subprocess.run(command, env=os.environ | environment, check=False).returncode == 0


def main() -> int:
    """Return 0 when all of it passed."""
    passed = run("PostgreSQL 18, from the wheel")
    if (DEBIAN_15 / "postgres").exists():
        passed &= run(
            "PostgreSQL 15, from Debian", *SAME_ON_EVERY_SERVER, POSTGRES_BIN=str(DEBIAN_15)
        )
    else:
        print("== PostgreSQL 15 is not installed here; its run is left out", flush=True)
    return 0 if passed else 1


if __name__ == "__main__":
    sys.exit(main())
