"""The request and the answer that the README shows are the program's own."""

import json
import re
from pathlib import Path

import pytest

from billing.actions.catalogue import catalogue_load
from shop.models import Part
from tests.callers import technician
from tests.factories.diagnostics import ExaminationFactory
from tests.factories.world import stock

__all__ = ["technician"]

ROOT = Path(__file__).resolve().parents[2]
BLOCKS = dict(
    enumerate(re.findall(r"```(?:http|json)\n(.*?)```", (ROOT / "README.md").read_text(), re.S))
)
ON_SHELF = {"20": 30, "20-5": 30, "21": 30, "21-5": 1}


@pytest.fixture
def examination(db):
    catalogue_load(folder=ROOT / "fixtures" / "catalogue")
    for size, quantity in ON_SHELF.items():
        stock(Part.objects.get(code=f"centre-pin-inch-{size}"), quantity, 1)
    return ExaminationFactory()


def is_part_of(shown, real):
    if isinstance(shown, dict):
        return all(is_part_of(value, real[name]) for name, value in shown.items())
    if isinstance(shown, list):
        return len(shown) == len(real) and all(map(is_part_of, shown, real))
    return shown == real


def test_the_request_that_the_readme_shows_gets_the_answer_that_it_shows(technician, examination):
    findings, quote, answer = BLOCKS[0], BLOCKS[1], BLOCKS[2]
    path = f"/examinations/{examination.pk}"
    assert findings.startswith("POST /api/v1/examinations/1/findings?naming=scientific")
    assert quote.startswith("POST /api/v1/examinations/1/quote")

    stored = technician("POST", f"{path}/findings?naming=scientific", findings.partition("\n\n")[2])
    assert stored.status_code == 201
    real = technician.post(f"{path}/quote").json()

    shown = json.loads(answer)
    assert is_part_of(shown, real), json.dumps(
        {name: real[name] for name in shown}, indent=2, ensure_ascii=False
    )
