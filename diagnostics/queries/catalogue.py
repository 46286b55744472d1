"""The catalogue: entries by their codes, and in full."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from django.db.models import CharField, QuerySet, Value

from diagnostics.models import Cause, Check, Component, Fault, Remedy
from diagnostics.models.catalogue import ActionRow

NOUNS: dict[str, type[ActionRow]] = {
    "fault": Fault,
    "component": Component,
    "cause": Cause,
    "remedy": Remedy,
    "check": Check,
}


@dataclass(frozen=True)
class Entry:
    """A row of the catalogue: its id, and the kinds of action that have it."""

    id: int
    actions: tuple[str, ...]


def entries_named(codes: Mapping[str, Iterable[str]]) -> dict[tuple[str, str], Entry]:
    """Return the entries with `codes`, which stand by noun, by noun and code, in one query."""
    wanted = {noun: set(named) for noun, named in codes.items()}
    queries = [_rows(noun, named) for noun, named in wanted.items() if named]
    if not queries:
        return {}
    rows = queries[0].union(*queries[1:], all=True)
    return {(noun, code): Entry(pk, tuple(actions)) for noun, code, pk, actions in rows}


def _rows(noun: str, codes: set[str]) -> "QuerySet[ActionRow, tuple[str, str, int, list[str]]]":
    rows = NOUNS[noun]._default_manager.filter(code__in=codes).order_by()
    return rows.values_list(Value(noun, output_field=CharField()), "code", "pk", "actions")


def remedies_in_full() -> QuerySet[Remedy]:
    """Return the remedies with set-up, parts, tools and cautions."""
    rows = Remedy.objects.select_related("set_up")
    linked = ("set_up__cautions", "remedy_parts__part", "tools", "cautions")
    return rows.prefetch_related(*linked).order_by("code")


def causes_in_full() -> QuerySet[Cause]:
    """Return the causes with component, faults, checks and remedy."""
    rows = Cause.objects.select_related("component", "remedy")
    links = rows.prefetch_related("cause_faults__fault", "cause_checks__check_made")
    return links.order_by("code")


def checks_in_full() -> QuerySet[Check]:
    """Return the checks with their set-ups."""
    return Check.objects.select_related("set_up").order_by("code")
