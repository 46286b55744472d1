"""The demonstration, run as a person runs it."""

import fcntl
import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PICTURE = "fixtures/demo/keyboard.svg"


def undated(text):
    """Return the text without the day on which the demonstration was run."""
    return re.sub(r"\d{4}-\d\d-\d\d", "DAY", text)


@pytest.fixture(scope="module")
def shown(tmp_path_factory):
    out = tmp_path_factory.mktemp("demo")
    # It makes its own database under var/, so that workers of the tests play it in turn.
    with (tmp_path_factory.getbasetemp().parent / "demo.lock").open("w") as turn:
        fcntl.flock(turn, fcntl.LOCK_EX)
        result = subprocess.run(
            [sys.executable, "manage.py", "demo", "--out", str(out)],
            cwd=ROOT,
            capture_output=True,
            text=True,
            check=False,
        )
    assert result.returncode == 0, result.stderr
    written = {path.stem: json.loads(path.read_text()) for path in out.glob("*.json")}
    return result.stdout, written | {path.stem: path.read_text() for path in out.glob("*.svg")}


def test_it_tells_the_whole_job_and_how_to_go_on(shown):
    told, _ = shown
    for part in (
        "The complaint",
        "What the notes do",
        "The quote, before anything is touched",
        "The parts leave the shelf for the job bag",
        "what was not fitted is back",
        "Invoice ",
        "What to order",
        "Ordered in one call, and put away",
        "PO-",
        "python manage.py serve",
    ):
        assert part in told
    assert "█" in told  # the drawn keyboard


def test_the_readme_shows_the_keyboard_as_it_is_drawn(shown):
    told, _ = shown
    (drawn,) = re.findall(r"```text\n(.*?)```", (ROOT / "README.md").read_text(), re.DOTALL)
    assert undated(drawn.strip()) in undated(told)


def test_the_picture_in_the_readme_is_the_one_that_is_drawn(shown):
    _, written = shown
    kept = (ROOT / PICTURE).read_text()
    assert f"]({PICTURE})" in (ROOT / "README.md").read_text()
    assert undated(kept) == undated(written["keyboard"]), (
        "The drawing has changed. Look at it, and keep it if it is meant: python manage.py demo"
        f" --out DIR, and DIR/keyboard.svg to {PICTURE}."
    )


def test_it_writes_the_quote_the_invoice_and_every_request_in_order(shown):
    _, written = shown
    assert set(written) == {"exchange", "quote", "invoice", "keyboard"}
    assert written["quote"]["gross_total"] == written["invoice"]["gross_total"]
    assert written["invoice"]["due_total"] == "0.00"
    requests = [step["request"] for step in written["exchange"]]
    quoted = next(place for place, text in enumerate(requests) if text.endswith("/quote"))
    invoiced = next(place for place, text in enumerate(requests) if text.endswith("/invoice"))
    assert 0 < quoted < invoiced < len(requests)
    assert {step["who"] for step in written["exchange"]} == {"owner", "office", "technician"}
    assert all(step["status"] < 400 for step in written["exchange"])
    assert "Bearer" not in json.dumps(written)


def test_no_token_stands_in_what_it_writes(shown):
    _, written = shown
    issued = [step for step in written["exchange"] if step["request"].endswith("/token")]
    assert issued
    assert all(step["answer"] == {"token": "(not written)"} for step in issued)
