"""What all sheets share: a trial, the import, and the export of the same columns."""

from collections.abc import Sequence
from typing import Any

from rest_framework import serializers
from rest_framework.response import Response

from shop.actions.sheets import RowOutcome, SentRow, Sheet
from shop.http.cells import cell_text
from shop.http.csv_parsers import ExchangedCSVParser
from shop.http.database_problems import database_problem
from shop.http.field_errors import as_sent
from shop.http.parsers import StrictJSONParser
from shop.http.permissions import OFFICE, grants
from shop.http.verbs import report, verb
from shop.http.views import Serializer, ShopViewSet, Values
from shop.queries.sheets import Columns
from shop.rules.sheets import Change, Fate

PARSERS = [StrictJSONParser, ExchangedCSVParser]
BODY_LIMIT_BYTES = 4 * 1024 * 1024


class SheetOutput(serializers.Serializer[Any]):
    """The rows of a sheet."""


class SheetChangeOutput(serializers.Serializer[Any]):
    """A column, and what it held and is to hold, as the sheet writes them."""

    column = serializers.CharField()
    old = serializers.CharField(allow_blank=True)
    new = serializers.CharField(allow_blank=True)


class SheetReasonOutput(serializers.Serializer[Any]):
    """Why a row is refused: where (JSON Pointer, RFC 6901), a stable code, and a sentence."""

    pointer = serializers.CharField(allow_blank=True)
    code = serializers.CharField()
    detail = serializers.CharField()


class SheetRowOutput(serializers.Serializer[Any]):
    """What becomes of a row: which it is, from 1, and in CSV the line that it starts on."""

    row = serializers.IntegerField()
    line = serializers.IntegerField(allow_null=True)
    fate = serializers.ChoiceField([fate.value for fate in Fate])
    changes = SheetChangeOutput(many=True)
    reasons = SheetReasonOutput(many=True)


class SheetOutcomeOutput(serializers.Serializer[Any]):
    """How many rows met which fate, and what becomes of each; `is_stored` unless it is a trial."""

    is_stored = serializers.BooleanField()
    made = serializers.IntegerField()
    changed = serializers.IntegerField()
    unchanged = serializers.IntegerField()
    refused = serializers.IntegerField()
    items = SheetRowOutput(many=True)


class SheetViewSet(ShopViewSet):
    """Base of the sheets: `takes_row` is the serializer of a row that is sent.

    `gives_rows` is that of the export, whose `items` have the same columns.
    """

    roles = grants(read=OFFICE, write=OFFICE)
    body_limit_bytes = BODY_LIMIT_BYTES
    takes_row: Serializer
    gives_rows: Serializer

    def stored(self) -> list[Columns]:
        """Return what is stored as rows."""
        raise NotImplementedError

    def apply(self, sheet: Sheet) -> list[RowOutcome]:
        """Do what a sheet says and return what became of each row."""
        raise NotImplementedError

    @report(gives=SheetOutput, gives_csv=True)
    def export(self) -> Response:
        """Return all rows, as JSON or as a sheet which changes nothing when it is imported."""
        return Response(self.representation({"items": self.stored()}))

    @verb(gives=SheetOutcomeOutput, takes_list=True, of_one=False, parser_classes=PARSERS)
    def trial(self) -> Response:
        """Return what an import would make, change, leave and refuse, row by row; store nothing."""
        return self._applied(is_trial=True)

    @verb(
        gives=SheetOutcomeOutput,
        takes_list=True,
        of_one=False,
        parser_classes=PARSERS,
        path="import",
    )
    def import_rows(self) -> Response:
        """Make and change what the rows say: all of them, or none and every wrong one is named."""
        return self._applied(is_trial=False)

    def input_class(self) -> Any:
        """Return the serializer of a row."""
        return super().input_class() if self.action == "export" else self.takes_row

    def output_class(self) -> Any:
        """Return the serializer of the present action's answer."""
        return self.gives_rows if self.action == "export" else super().output_class()

    def output_fields(self) -> Sequence[str]:
        """Return the columns of the sheet."""
        return list(self._columns())

    def _columns(self) -> dict[str, Any]:
        rows: Any = self.gives_rows().fields["items"]
        return dict(rows.child.fields)

    def _applied(self, *, is_trial: bool) -> Response:
        rows, errors = self.checked_rows()
        body = self.request.data
        sheet = Sheet(
            size=len(body) if isinstance(body, list) else 1,
            rows=[SentRow(int(pointer[1:]), values) for pointer, values in rows],
            errors=errors,
            explain=database_problem,
            is_trial=is_trial,
        )
        outcomes = self.apply(sheet)
        counts = {fate.value: sum(each.fate == fate for each in outcomes) for fate in Fate}
        items = [self._shown(outcome, body) for outcome in outcomes]
        return Response(self.representation({"is_stored": not is_trial, **counts, "items": items}))

    def _shown(self, outcome: RowOutcome, body: Any) -> Values:
        lines = [getattr(row, "line", None) for row in body] if isinstance(body, list) else [None]
        return {
            "row": outcome.index + 1,
            "line": lines[outcome.index],
            "fate": outcome.fate,
            "changes": [self._as_written(change) for change in outcome.changes],
            "reasons": [
                as_sent(error, lines=[], is_single=isinstance(body, dict))
                for error in outcome.errors
            ],
        }

    def _as_written(self, change: Change) -> Values:
        field = self._columns()[change.column]
        old, new = (
            cell_text(None if value is None else field.to_representation(value))
            for value in (change.old, change.new)
        )
        return {"column": change.column, "old": old, "new": new}
