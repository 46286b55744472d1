"""Where parts are and how they moved: everybody in the shop may see it."""

from django.db.models import F, Prefetch, QuerySet

from shop.models import CountSheet, CountSheetLine, Level, Move, Place


def places() -> QuerySet[Place]:
    """Return the places, shelves and vans among job bags and the world outside."""
    return Place.objects.order_by("id")


def levels() -> QuerySet[Level]:
    """Return how much of each part is where, with the part and the place."""
    return Level.objects.select_related("part", "place").order_by("part_id", "place_id")


def moves() -> QuerySet[Move]:
    """Return the moves with their parts, newest first."""
    return Move.objects.select_related("part").order_by("-moved_at", "-id")


def count_sheets() -> QuerySet[CountSheet]:
    """Return the count sheets, newest first."""
    return CountSheet.objects.order_by("-frozen_at", "-id")


def count_sheets_in_full() -> QuerySet[CountSheet]:
    """Return the same with their lines, each with its part and `difference`, by the part's code."""
    lines = CountSheetLine.objects.select_related("part").order_by("part__code", "id")
    difference = F("counted_quantity") - F("expected_quantity")
    return count_sheets().prefetch_related(Prefetch("lines", lines.annotate(difference=difference)))
