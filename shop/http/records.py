"""Ready methods for rows that are listed, read, made, changed and removed.

A view takes those it wants, and says what each does: `rows` and the methods named below.
"""

from typing import Any

from rest_framework.generics import get_object_or_404
from rest_framework.response import Response

from shop.http.views import ShopViewSet, Values


class Listed(ShopViewSet):
    """GET on the noun: a page of `rows`."""

    def list(self) -> Response:
        """Return a page of rows."""
        return self.listed(self.rows())


class Retrieved(ShopViewSet):
    """GET on one: the row with its entity tag."""

    def retrieve(self) -> Response:
        """Return one row."""
        return self.shown(self.found())


class Created(ShopViewSet):
    """POST on the noun: `add` makes a row of the values of `create_input`."""

    def add(self, values: Values) -> Any:
        """Make a row and return it."""
        raise NotImplementedError

    def create(self) -> Response:
        """Return the new row, and where it is."""
        made = self.add(self.checked())
        # What the caller would not be allowed to see is not made either: 404.
        return self.created(get_object_or_404(self.rows(), pk=made.pk))


class Changed(ShopViewSet):
    """PATCH on one: `change` gives the row the values of `change_input` that were sent."""

    def change(self, row: Any, values: Values) -> object:
        """Change the row, which is locked."""
        raise NotImplementedError

    def partial_update(self) -> Response:
        """Return the row as it is now."""
        row = self.found_and_locked()
        values = self.checked()
        self.refuse_unless_matched(row)
        self.change(row, values)
        return self.shown(self.found())


class Deleted(ShopViewSet):
    """DELETE on one: `remove` removes the row."""

    def remove(self, row: Any) -> object:
        """Remove the row, which is locked."""
        raise NotImplementedError

    def destroy(self) -> Response:
        """Return no content."""
        row = self.found_and_locked()
        self.refuse_unless_matched(row)
        self.remove(row)
        return Response(status=204)
