"""Parts and places by their labels."""

from collections.abc import Iterable
from typing import NamedTuple

from shop.models import Part, Place
from shop.rules.labels import Label, Labelled


class Found(NamedTuple):
    """What a label stands on, and the lines of text beneath its symbol."""

    label: Label
    name: str
    details: str


def found_by(labels: Iterable[Label]) -> dict[Label, Found]:
    """Return the parts and places that there are, by label, in two statements for any number."""
    keys: dict[Labelled, list[str]] = {kind: [] for kind in Labelled}
    for label in labels:
        keys[label.kind].append(label.key)
    parts = Part.objects.filter(code__in=keys[Labelled.PART]).order_by("code")
    places = Place.objects.filter(pk__in=keys[Labelled.PLACE]).order_by("pk")
    found = [
        *(Found(Label(Labelled.PART, part.code), part.name, part.code) for part in parts),
        *(
            Found(Label(Labelled.PLACE, str(place.pk)), place.name, place.get_kind_display())
            for place in places
        ),
    ]
    return {each.label: each for each in found}
