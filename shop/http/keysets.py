"""Where a page starts: after a row, by the values that the rows are ordered by.

NULL counts as the greatest value, as PostgreSQL orders it unless told otherwise.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import reduce
from typing import Any

from django.db.models import F, Field, Func, Q, QuerySet, Value
from django.db.models.lookups import GreaterThan, LessThan


@dataclass(frozen=True)
class OrderTerm:
    """One column (or annotation) of an ordering; `name` may follow foreign keys with "__"."""

    name: str
    is_descending: bool
    is_nullable: bool
    field: "Field[Any, Any]"

    @property
    def signed_name(self) -> str:
        """The name as `order_by` takes it."""
        return f"-{self.name}" if self.is_descending else self.name


def order_terms(rows: QuerySet[Any, Any]) -> list[OrderTerm]:
    """Return the ordering of `rows`, ended by the key so that no two rows tie."""
    key = rows.model._meta.pk.attname
    names = [str(name) for name in rows.query.order_by or rows.model._meta.ordering]
    last = names[-1] if names else ""
    names.append(f"-{key}" if last.startswith("-") else key)
    terms: list[OrderTerm] = []
    for name in names:
        terms.append(_term(rows, name))
        if terms[-1].name == key:
            break
    return terms


def _term(rows: QuerySet[Any, Any], signed_name: str) -> OrderTerm:
    meta, name = rows.model._meta, signed_name.removeprefix("-")
    name = meta.pk.attname if name in {"pk", meta.pk.name} else name
    field = F(name).resolve_expression(rows.query.clone(), allow_joins=True).output_field
    is_column = name in {column.attname for column in meta.concrete_fields}
    return OrderTerm(name, signed_name.startswith("-"), field.null or not is_column, field)


def values_of(row: Any, terms: Sequence[OrderTerm]) -> list[Any]:
    """Return what `row`, a model or a mapping, is ordered by, as JSON can hold it."""
    values = [
        row[term.name] if isinstance(row, dict) else reduce(_step, term.name.split("__"), row)
        for term in terms
    ]
    return [value if isinstance(value, int | str | None) else str(value) for value in values]


def _step(row: Any, name: str) -> Any:
    return None if row is None else getattr(row, name)


def after(terms: Sequence[OrderTerm], values: Sequence[Any]) -> Any:
    """Return the condition that a row stands after the one that is ordered by `values`."""
    found = [term.field.to_python(value) for term, value in zip(terms, values, strict=True)]
    directions = {term.is_descending for term in terms}
    if len(directions) == 1 and not any(term.is_nullable for term in terms):
        return _row_comparison(terms, found)
    return _step_by_step(terms, found)


def _row_comparison(terms: Sequence[OrderTerm], values: Sequence[Any]) -> Any:
    """Compare whole rows, which an index over the columns answers with one descent."""
    columns = Func(*(F(term.name) for term in terms), function="ROW", output_field=terms[0].field)
    bounds = [
        Value(value, output_field=term.field) for term, value in zip(terms, values, strict=True)
    ]
    comparison = LessThan if terms[0].is_descending else GreaterThan
    return comparison(columns, Func(*bounds, function="ROW", output_field=terms[0].field))


def _step_by_step(terms: Sequence[OrderTerm], values: Sequence[Any]) -> Q:
    """Compare column by column: a later one counts where all before it are equal."""
    found, tied = Q(pk__in=()), Q()
    for term, value in zip(terms, values, strict=True):
        found |= tied & _beyond(term, value)
        tied &= Q(**{f"{term.name}__isnull": True} if value is None else {term.name: value})
    first, value = terms[0], values[0]
    if first.is_nullable:
        return found
    # Says nothing new, but lets an index start at the right place.
    return Q(**{f"{first.name}__{'lte' if first.is_descending else 'gte'}": value}) & found


def _beyond(term: OrderTerm, value: Any) -> Q:
    if value is None:  # the greatest: first when descending, else nothing is beyond it
        return Q(**{f"{term.name}__isnull": False}) if term.is_descending else Q(pk__in=())
    if term.is_descending:
        return Q(**{f"{term.name}__lt": value})
    beyond = Q(**{f"{term.name}__gt": value})
    return beyond | Q(**{f"{term.name}__isnull": True}) if term.is_nullable else beyond
