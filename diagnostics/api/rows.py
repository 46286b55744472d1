"""What the views of an examination's rows share: the examination, and rows sent in bulk."""

from collections.abc import Callable
from typing import Any, TypeVar

from django.db.models import QuerySet
from django.shortcuts import get_object_or_404
from rest_framework.exceptions import ValidationError
from rest_framework.response import Response

from diagnostics.api.notes import NamingQuery
from diagnostics.models import Examination
from diagnostics.queries.examinations import examinations_locked
from shop.errors import FieldError, InvalidInput
from shop.http.csv_parsers import MAX_ROWS
from shop.http.field_errors import field_errors, pointer_to
from shop.http.views import Serializer, ShopViewSet, Values

Draft = TypeVar("Draft")


class RowsOfExamination(ShopViewSet):
    """Base of the views under /examinations/{examination_id}/, whose rows stand on notes."""

    query = NamingQuery
    takes_list = True
    stored_output: Serializer

    def output_class(self) -> Any:
        """Return the serializer of all that was stored, for a post."""
        return self.stored_output if self.action == "create" else super().output_class()

    def stored(self, rows: QuerySet[Any]) -> Response:
        """Return 201 with what was stored, and where it is listed."""
        location = self.request.build_absolute_uri(self.request.path)
        return Response(self.representation(rows), 201, headers={"Location": location})

    def examination(self) -> Examination:
        """Return the examination that the path names; else the answer is 404."""
        rows = Examination.objects.select_related("instrument")
        return get_object_or_404(rows, pk=self.kwargs["examination_id"])

    def examination_locked(self) -> Examination:
        """Return the same, kept from changing until the transaction ends."""
        return get_object_or_404(examinations_locked(), pk=self.kwargs["examination_id"])

    def naming(self) -> str:
        """Return how the request names notes."""
        return str(self.checked_query()["naming"])

    def drafts(
        self, draft_of: Callable[[str, Values], Draft]
    ) -> tuple[list[Draft], list[FieldError]]:
        """Return a draft of each row sent that has the right shape, and the errors of the others.

        So the action that gets both can name every wrong row at once. `draft_of` makes a draft of
        a row's pointer and values.

        Raises:
            InvalidInput: there are no rows, or too many.
        """
        body = self.request.data
        rows = body if isinstance(body, list) else [body]
        if not 1 <= len(rows) <= MAX_ROWS:
            detail = f"Send 1 to {MAX_ROWS} rows; these are {len(rows)}."
            raise InvalidInput("invalid-input", detail, (FieldError("", "row-count", detail),))
        serializer = self.input_class()(context=self.get_serializer_context())
        drafts: list[Draft] = []
        errors: list[FieldError] = []
        for index, row in enumerate(rows):
            pointer = pointer_to(index)
            try:
                drafts.append(draft_of(pointer, serializer.run_validation(row)))
            except ValidationError as error:
                errors += field_errors(error.detail, pointer)
        return drafts, errors
