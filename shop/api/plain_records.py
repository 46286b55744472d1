"""What the views of plain records share: rows that are kept as they are sent."""

from typing import Any

from rest_framework.generics import get_object_or_404
from rest_framework.response import Response

from shop.actions.records import record_change, record_create, record_delete
from shop.http.records import Changed, Created, Deleted, Listed, Retrieved
from shop.http.views import ShopViewSet, Values

CODE = r"^[a-z0-9]+(-[a-z0-9]+)*$"


class PlainRecordViewSet(Listed, Retrieved, Created, Changed, Deleted):
    """Base of the views of rows that are added, changed and removed by the schema's own rules."""

    def add(self, values: Values) -> Any:
        """Add a row."""
        return record_create(model=self.model, values=values)

    def change(self, row: Any, values: Values) -> object:
        """Change a row."""
        return record_change(record=row, changes=values)

    def remove(self, row: Any) -> None:
        """Remove a row."""
        record_delete(record=row)


class NamedByCode(ShopViewSet):
    """Base of the views whose rows are named in the path by their code, which never changes."""

    lookup_field = "code"
    lookup_value_regex = "[-A-Za-z0-9_]{1,60}"

    def found(self) -> Any:
        """Return the row that the path names; else the answer is 404."""
        return get_object_or_404(self.rows(), code=self.kwargs["code"])

    def found_and_locked(self) -> Any:
        """Return the row that the path names, kept from changing until the transaction ends."""
        locked = self.model._default_manager.select_for_update(no_key=True)
        locked.filter(code=self.kwargs["code"]).values_list("pk").first()
        return self.found()

    def created(self, row: Any, location: str | None = None) -> Response:
        """Return 201 for a new row, with where it is now."""
        path = {"code": row.code}
        return super().created(row, location or self.reverse_action("detail", kwargs=path))
