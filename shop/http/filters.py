"""Filters of lists: a parameter that is unknown, repeated or wrong is a problem."""

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

import django_filters
from django import forms
from django.db.models import QuerySet
from django.http import QueryDict
from django_filters.fields import IsoDateTimeField, RangeField
from django_filters.rest_framework import DjangoFilterBackend
from django_filters.widgets import DateRangeWidget, SuffixedMultiWidget
from rest_framework.request import Request
from rest_framework.views import APIView

from shop.errors import ParameterError
from shop.http.field_errors import summary
from shop.http.parsers import BIGGEST
from shop.http.problems import RequestProblem


class Order(django_filters.OrderingFilter):  # type: ignore[misc]
    """The parameter `order`: fields with commas between them, "-" before one that descends.

    Each field should be NOT NULL and start an index, so that a page is found without sorting.
    """


class IdFilter(django_filters.NumberFilter):  # type: ignore[misc]
    """A filter by the id of a related row, which costs no query of its own."""

    field_class = forms.IntegerField

    def __init__(self, **options: Any) -> None:
        super().__init__(min_value=1, max_value=BIGGEST, **options)

    def get_max_validator(self) -> None:
        """Return none but the bound of the field itself."""
        return


class TrueFalseField(forms.Field):
    """The words `true` and `false`; django-filter's own field takes anything else for no answer."""

    default_error_messages = {"invalid": "Say true or false."}  # noqa: RUF012 (as Django's own)

    def to_python(self, value: Any) -> bool | None:
        """Return what the word means.

        Raises:
            ValidationError: it is another word.
        """
        if value in self.empty_values:
            return None
        if value not in {"true", "false"}:
            raise forms.ValidationError(self.default_error_messages["invalid"], code="invalid")
        return bool(value == "true")


class TrueFalseFilter(django_filters.BooleanFilter):  # type: ignore[misc]
    """A filter by what is so or not."""

    field_class = TrueFalseField


class InstantField(IsoDateTimeField):  # type: ignore[misc]
    """An instant, in UTC: PostgreSQL takes fewer offsets than Python does."""

    def to_python(self, value: Any) -> dt.datetime | None:
        """Return the instant that `value` says, None when it is empty.

        Raises:
            ValidationError: it says none, or one before the first year or after the last.
        """
        instant: dt.datetime | None = super().to_python(value)
        try:
            return instant and instant.astimezone(dt.UTC)
        except OverflowError as error:
            raise forms.ValidationError(self.error_messages["invalid"], code="invalid") from error


class InstantRangeField(RangeField):  # type: ignore[misc]
    """Two instants, either of which may be left out."""

    widget = DateRangeWidget

    def __init__(self, **options: Any) -> None:
        super().__init__((InstantField(), InstantField()), **options)


class InstantRangeFilter(django_filters.IsoDateTimeFromToRangeFilter):  # type: ignore[misc]
    """A filter by the time between two instants, `..._after` and `..._before`."""

    field_class = InstantRangeField


class StrictFilterBackend(DjangoFilterBackend):  # type: ignore[misc]
    """Filters a list by the view's `filterset_class`."""

    def filter_queryset(
        self, request: Request, queryset: QuerySet[Any, Any], view: APIView
    ) -> QuerySet[Any, Any]:
        """Return the rows that the query asks for, in the order that it asks for.

        Raises:
            RequestProblem: a parameter is unknown, or has a value that it cannot have.
        """
        filterset = self.get_filterset(request, queryset, view)
        known = dict.fromkeys(view.shared_parameters(), False)  # type: ignore[attr-defined]
        if filterset is None:
            refuse_wrong_parameters(request.query_params, known=known)
            return queryset
        known |= _form_parameters(filterset.form)
        refuse_wrong_parameters(request.query_params, known=known)
        if not filterset.is_valid():
            raise invalid_query(_form_errors(filterset.form))
        filtered: QuerySet[Any, Any] = filterset.qs
        return filtered


def invalid_query(errors: Iterable[ParameterError]) -> RequestProblem:
    """Return the problem of a query that has `errors`."""
    found = tuple(errors)
    return RequestProblem("invalid-query", summary(found), found)


def refuse_wrong_parameters(query: QueryDict, *, known: Mapping[str, bool]) -> None:
    """Refuse what is not known: `known` says of each parameter whether it may stand twice.

    Raises:
        RequestProblem: naming each parameter that is unknown or given twice.
    """
    names = ", ".join(known) or "none"
    errors = [
        ParameterError(
            name, "unknown-parameter", f"There is no such parameter here; known: {names}."
        )
        if name not in known
        else ParameterError(name, "given-twice", "It stands twice in the query.")
        for name, values in query.lists()
        if name not in known or (len(values) > 1 and not known[name])
    ]
    if errors:
        raise invalid_query(errors)


def _form_parameters(form: forms.Form) -> dict[str, bool]:
    """Return the parameters of a filter form, and whether each may stand twice."""
    return {
        parameter: getattr(field.widget, "allow_multiple_selected", False)
        for name, field in form.fields.items()
        for parameter in _parameter_names(name, field.widget)
    }


def _parameter_names(name: str, widget: Any) -> list[str]:
    if isinstance(widget, SuffixedMultiWidget):
        return [widget.suffixed(name, suffix) for suffix in widget.suffixes]
    return [name]


def _form_errors(form: forms.Form) -> Iterator[ParameterError]:
    for name, messages in form.errors.as_data().items():
        for error in messages:
            for sentence in error.messages:
                yield ParameterError(name, (error.code or "invalid").replace("_", "-"), sentence)
