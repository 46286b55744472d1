"""Where parts are and how they moved: everybody in the shop may see it."""

from django.db.models import QuerySet

from shop.models import Level, Move, Place


def places() -> QuerySet[Place]:
    """Return the places, shelves and vans among job bags and the world outside."""
    return Place.objects.order_by("id")


def levels() -> QuerySet[Level]:
    """Return how much of each part is where, with the part and the place."""
    return Level.objects.select_related("part", "place").order_by("part_id", "place_id")


def moves() -> QuerySet[Move]:
    """Return the moves with their parts, newest first."""
    return Move.objects.select_related("part").order_by("-moved_at", "-id")
