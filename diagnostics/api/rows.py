"""What the views of an examination's rows share: the examination, and rows sent in bulk."""

from typing import Any

from django.db.models import QuerySet
from django.shortcuts import get_object_or_404
from rest_framework.response import Response

from diagnostics.api.notes import NamingQuery
from diagnostics.models import Examination
from diagnostics.queries.examinations import examinations_locked
from shop.http.views import Serializer, ShopViewSet


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
