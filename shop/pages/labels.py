"""Labels of parts and places: printed on sheets, and found by what a scanner reads off them."""

from typing import Any

import segno
from django.db.models import QuerySet
from django.http import Http404
from rest_framework import serializers
from rest_framework.response import Response
from rest_framework.reverse import reverse

from shop.errors import InvalidInput, ParameterError
from shop.http.files import PDFRenderer, file_response
from shop.http.permissions import EVERYONE, grants
from shop.http.serializers import StrictSerializer, TextField
from shop.http.verbs import file
from shop.http.views import ShopViewSet
from shop.models import PaperSize, Part, ShopProfile
from shop.pages.documents import PAPER, document_pdf
from shop.queries.labels import Found, found_by
from shop.rules.labels import LABEL_FORM, Labelled, label_read, label_text

MOST_LABELS = 500


class LabelSheetQuery(StrictSerializer):
    """How often each label is printed, and which others stand on the sheet."""

    copies = serializers.IntegerField(min_value=1, max_value=MOST_LABELS, default=1)
    also = TextField(
        max_length=10_000, default="", help_text="Labels such as place:17, parted by commas."
    )


class LabelOutput(serializers.Serializer[Any]):
    """What a label stands on, and where to read more of it."""

    text = serializers.CharField()
    kind = serializers.CharField()
    key = serializers.CharField()
    name = serializers.CharField()
    details = serializers.CharField()
    url = serializers.CharField()


class LabelViewSet(ShopViewSet):
    """Parts, shelves, vans and job bags by the text of their labels."""

    model = Part
    roles = grants(read=EVERYONE)
    output = LabelOutput
    lookup_field = "label"
    lookup_value_regex = LABEL_FORM

    def rows(self) -> QuerySet[Part]:
        """Return the parts; places are found beside them."""
        return Part.objects.all()

    def retrieve(self, *_: Any, **__: Any) -> Response:
        """Return the part or place that a label stands on: what a scanner reads off it."""
        found = self._found()
        key = found.label.key
        lookup = {"code": key} if found.label.kind == Labelled.PART else {"pk": key}
        url = reverse(f"{found.label.kind}-detail", kwargs=lookup, request=self.request)
        text = label_text(found.label)
        about = {"name": found.name, "details": found.details}
        return self.shown({"text": text, **found.label._asdict(), **about, "url": url})

    @file(PDFRenderer, query=LabelSheetQuery)
    def sheet(self) -> Response:
        """Return labels as PDF, to print on adhesive paper: a QR code and what it says in words."""
        asked = self.checked_query()
        sheet = [self._found(), *_others(asked["also"])] * asked["copies"]
        if len(sheet) > MOST_LABELS:
            raise _wrong("copies", f"A sheet has at most {MOST_LABELS} labels, not {len(sheet)}.")
        data = {
            "paper_size": PAPER[PaperSize(ShopProfile.objects.get().paper_size)],
            "labels": [_printed(found) for found in sheet],
        }
        return file_response(document_pdf("labels", data), "labels.pdf")

    def _found(self) -> Found:
        label = label_read(self.kwargs["label"])
        found = found_by([label]).get(label)
        if found is None:
            raise Http404
        return found


def _wrong(name: str, detail: str) -> InvalidInput:
    return InvalidInput("invalid-query", detail, (ParameterError(name, "label-unknown", detail),))


def _others(text: str) -> list[Found]:
    try:
        labels = [label_read(each) for each in text.split(",") if each.strip()]
    except ValueError as error:
        raise _wrong("also", str(error)) from error
    known = found_by(labels)
    unknown = [label_text(label) for label in labels if label not in known]
    if unknown:
        raise _wrong("also", f"Nothing has the label {', '.join(unknown)}.")
    return [known[label] for label in labels]


def _printed(found: Found) -> dict[str, str]:
    # Error correction M: 15 % of a label may be worn. Source: ISO/IEC 18004.
    symbol = segno.make_qr(label_text(found.label), error="m").svg_inline(border=2)
    return {"symbol": symbol, "name": found.name, "details": found.details}
