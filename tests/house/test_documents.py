"""The documents and the program say the same."""

import re
from pathlib import Path

import pytest

from shop.http.problems import problem_kinds

pytestmark = pytest.mark.guard

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text()
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text()
TOPS = "shop|diagnostics|billing|tests|fixtures"


def section(text: str, title: str) -> str:
    _, found, rest = text.partition(f"\n## {title}\n")
    assert found, f"There is no section {title!r}."
    return rest.partition("\n## ")[0]


def commands() -> list[str]:
    block = re.search(r"```(?:sh|bash|console)?\n(.*?)```", section(README, "Two commands"), re.S)
    assert block, "The section has no fenced block."
    return block[1].strip().splitlines()


def test_the_readme_has_the_two_commands():
    assert commands() == [
        "python -m pip install -r requirements.txt && python manage.py demo",
        "python -m tests",
    ]


def test_ci_runs_the_readmes_two_commands_and_nothing_else():
    script = (ROOT / ".ci" / "run").read_text()
    run = [
        line.strip()
        for line in script.splitlines()
        if re.search(r"\b(pip|manage\.py|-m tests|pytest)\b", line) and not line.startswith("#")
    ]
    # It runs them as they stand in the README, read from there, or repeats them word for word.
    assert run == commands() or ("README.md" in script and run == []), run


@pytest.mark.parametrize("document", ["README.md", "DEVELOPERS.md"])
def test_every_path_that_a_document_names_is_there(document):
    text = (ROOT / document).read_text()
    named = set(re.findall(rf"`((?:{TOPS}|\.ci)/[\w./-]*)`", text))
    named |= set(re.findall(r"\]\((?!https?:)([\w./-]+)\)", text))
    # The example of a new noun, which there is not.
    missing = [name for name in named if "widgets" not in name and not (ROOT / name).exists()]
    assert missing == []


def test_the_files_of_the_example_of_an_endpoint_are_where_a_real_noun_has_its_own():
    named = re.findall(r"`([\w/]*widgets\.py)`", section(DEVELOPERS, "Add an endpoint"))
    # Clients have all of them but verbs of their own; users have those.
    real = {
        "shop/actions/widgets.py": "shop/actions/users.py",
    }
    missing = [
        name
        for name in named
        if not (ROOT / real.get(name, name.replace("widgets", "clients"))).exists()
    ]
    assert len(named) >= 5
    assert missing == []


@pytest.mark.parametrize("document", ["README.md", "DEVELOPERS.md"])
def test_every_problem_that_a_document_names_is_explained(document):
    named = set(re.findall(r"/problems/([a-z0-9-]+)", (ROOT / document).read_text()))
    assert named - set(problem_kinds()) == set()


def test_every_setting_that_is_read_is_told():
    code = (ROOT / "shop" / "settings.py").read_text()
    told = set(re.findall(r"^\| ([A-Z][A-Z_]+) \|", code, re.M))
    sources = [code, (ROOT / "shop/database/configuration.py").read_text()]
    read = set().union(
        *(re.findall(r"env(?:\.\w+)?\(\s*\"([A-Z_]+)\"", source) for source in sources)
    )
    assert read
    assert read <= told
