"""Triggers that refuse what breaks a rule, declared beside a model's constraints.

A guard's name is also the name of the constraint it raises, and it carries the same code and
sentence as a Django constraint does, so that both reach a caller in the same way.
"""

from collections.abc import Iterable, Mapping
from typing import Any

import pgtrigger
from django.db import models


class Guard(pgtrigger.Trigger):
    """A trigger that raises `name` as a violated constraint when `refuse_when` holds.

    `name` is `<app>_<model>_<rule>`, at most 47 characters. `refuse_when` is a PL/pgSQL condition
    over OLD and NEW; `before_check` may hold statements that run first, `declare` their variables.
    """

    level = pgtrigger.Row
    when = pgtrigger.Before

    def __init__(
        self,
        *,
        name: str,
        code: str,
        message: str,
        refuse_when: str = "TRUE",
        before_check: str = "",
        **trigger: Any,
    ) -> None:
        self.violation_error_code = code
        self.violation_error_message = message
        self.refuse_when = refuse_when
        self.before_check = before_check
        super().__init__(name=name, **trigger)

    @property
    def constraint_name(self) -> str:
        """The name under which a refusal arrives in the database driver's diagnostics."""
        return str(self.name)

    def get_func(self, model: models.Model) -> str:  # noqa: ARG002 (pgtrigger passes it)
        """Return the body of the trigger function."""
        sentence = self.violation_error_message.replace("'", "''")
        return f"""
            {self.before_check}
            IF {self.refuse_when} THEN
                RAISE EXCEPTION USING
                    ERRCODE = 'check_violation',
                    CONSTRAINT = '{self.name}',
                    TABLE = TG_TABLE_NAME,
                    MESSAGE = '{sentence}';
            END IF;
            {self._leave()}
        """

    def _leave(self) -> str:
        if self.level == pgtrigger.Statement or self.when == pgtrigger.After:
            return "RETURN NULL;"
        return "IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW;"


def append_only(model: str, rows: str) -> list[Guard]:
    """Return the two guards that let rows of `model` be added and never changed or removed.

    `model` is `<app>_<model>`, `rows` the plural that the refusal's sentence starts with.
    """
    message = f"{rows} are never changed or removed; add a correcting one."
    return [
        Guard(
            name=f"{model}_append_only",
            code="append-only",
            message=message,
            operation=pgtrigger.Update | pgtrigger.Delete,
        ),
        no_truncate(model, message),
    ]


def no_truncate(model: str, message: str) -> Guard:
    """Return the guard that refuses TRUNCATE, which row triggers never see."""
    return Guard(
        name=f"{model}_no_truncate",
        code="append-only",
        message=message,
        level=pgtrigger.Statement,
        operation=pgtrigger.Truncate,
    )


def status_edges(model: str, edges: Mapping[Any, Iterable[str]], first: str) -> list[Guard]:
    """Return the guards that start rows at status `first` and move them along `edges` alone."""
    allowed = ", ".join(
        f"('{before}', '{after}')" for before, afters in edges.items() for after in afters
    )
    return [
        Guard(
            name=f"{model}_status_edge",
            code="status-edge",
            message="The present status does not allow this change.",
            operation=pgtrigger.UpdateOf("status"),
            refuse_when=(
                "OLD.status IS DISTINCT FROM NEW.status"
                f" AND (OLD.status, NEW.status) NOT IN ({allowed})"
            ),
        ),
        Guard(
            name=f"{model}_status_first",
            code="status-edge",
            message=f"A new row starts with the status {first}.",
            operation=pgtrigger.Insert,
            refuse_when=f"NEW.status <> '{first}'",
        ),
    ]
