"""Quotes, and what their answers read beside them."""

from collections.abc import Iterable

from django.db.models import Exists, F, OuterRef, Prefetch, QuerySet

from billing.models import BagLine, Quote, QuoteLine
from diagnostics.models import Caution, Remedy
from shop.models import Place, PlaceKind


def quotes() -> QuerySet[Quote]:
    """Return all quotes, newest first; `is_short` says that a bag lacks something."""
    lacking = BagLine.objects.filter(quote=OuterRef("pk"), taken_quantity__lt=F("wanted_quantity"))
    rows = Quote.objects.select_related("client").annotate(is_short=Exists(lacking))
    return rows.order_by("-made_at", "-id")


def quotes_in_full() -> QuerySet[Quote]:
    """Return quotes with their lines, allowances, taxes and bags, in five statements in all."""
    return (
        quotes()
        .select_related("follow_up")
        .annotate(next_version_id=F("superseded_by__pk"))
        .prefetch_related(
            Prefetch(
                "lines", QuoteLine.objects.select_related("part", "remedy").order_by("position")
            ),
            "allowances",
            "taxes",
            Prefetch("bag_lines", BagLine.objects.select_related("part").order_by("part__code")),
        )
    )


def cautions_of(quote: Quote) -> QuerySet[Caution]:
    """Return the cautions of a quote's remedies, and those that always hold."""
    return cautions_of_remedies(line.remedy_id for line in quote.lines.all() if line.remedy_id)


def cautions_of_remedies(remedy_ids: Iterable[int]) -> QuerySet[Caution]:
    """Return the cautions of remedies, and those that always hold."""
    named = Caution.objects.filter(remedies__in=Remedy.objects.filter(pk__in=list(remedy_ids)))
    return (named | Caution.objects.filter(topics__contains=["general"])).distinct()


def default_shelf() -> Place:
    """Return the shelf that parts come from when none is named: the first that is in use."""
    return Place.objects.filter(kind=PlaceKind.SHELF, is_active=True).order_by("pk")[0]
