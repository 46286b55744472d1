"""Plain records, which are added, changed and deleted as they are, by the schema's own rules."""

from collections.abc import Collection, Mapping
from typing import Any, TypeVar

from django.db import transaction
from django.db.models import ForeignKey, Model

Record = TypeVar("Record", bound=Model)


@transaction.atomic
def record_create(*, model: type[Record], values: Mapping[str, Any]) -> Record:
    """Return a new row of `model` with `values`.

    Raises:
        ValidationError: a value does not fit its column.
        IntegrityError: a named constraint refuses the row.
    """
    record = model(**values)
    _clean(record, {field.name for field in model._meta.concrete_fields})
    record.save(force_insert=True)
    return record


@transaction.atomic
def record_change(*, record: Record, changes: Mapping[str, Any]) -> Record:
    """Give `record` new values for some of its columns and return it.

    Raises:
        ValidationError: a value does not fit its column.
        IntegrityError: a named constraint refuses the row.
    """
    for name, value in changes.items():
        setattr(record, name, value)
    _clean(record, changes)
    record.save(update_fields=list(changes))
    return record


@transaction.atomic
def record_delete(*, record: Model) -> None:
    """Delete a row that nothing refers to.

    Raises:
        ProtectedError: something refers to it.
    """
    record.delete()


def _clean(record: Model, names: Collection[str]) -> None:
    """Check the values of these columns; foreign keys are left to the database."""
    unchecked = {
        field.name
        for field in record._meta.concrete_fields
        if field.name not in names or isinstance(field, ForeignKey)
    }
    record.clean_fields(exclude=unchecked)
