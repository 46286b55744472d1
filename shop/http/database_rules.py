"""The rules that the schema holds, by the name under which PostgreSQL reports a violation."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any

from django.apps import apps
from django.db import models


@dataclass(frozen=True)
class DatabaseRule:
    """A named constraint or trigger, with its stable code and its sentence for a person."""

    name: str
    code: str
    sentence: str


@cache
def database_rules() -> dict[str, DatabaseRule]:
    """Return every constraint and guard of the models that carries a code, by its name."""
    return {rule.name: rule for model in apps.get_models() for rule in _rules_of(model)}


@cache
def unique_columns() -> dict[str, str]:
    """Return a sentence for each column declared `unique`, by its constraint's name.

    PostgreSQL names the constraint of a column that was unique from the start <table>_<column>_key.
    """
    return {
        f"{model._meta.db_table}_{field.column}_key": (
            f"There is already a {model._meta.verbose_name} with this {field.verbose_name}."
        )
        for model in apps.get_models()
        for field in model._meta.local_concrete_fields
        if field.unique and not field.primary_key
    }


def _rules_of(model: type[models.Model]) -> Iterator[DatabaseRule]:
    for rule in (*model._meta.constraints, *getattr(model._meta, "triggers", ())):
        code = getattr(rule, "violation_error_code", None)
        if code:
            name = getattr(rule, "constraint_name", None) or rule.name
            yield DatabaseRule(name, code, _sentence(rule))


def _sentence(rule: Any) -> str:
    return str(rule.violation_error_message)
