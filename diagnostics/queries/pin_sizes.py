"""The sizes of centre pins, and those that the shop keeps."""

from collections.abc import Iterable
from dataclasses import dataclass

from diagnostics.rules.pins import PinSize, Scheme, ladder, nearest_size
from shop.models import Part, PartCategory, ShopProfile


@dataclass(frozen=True)
class KeptSize:
    """A size, and the shop's pin of it if it keeps one."""

    size: PinSize
    part: Part | None


def kept_sizes() -> list[KeptSize]:
    """Return the ladder over both schemes, thinnest first: one statement."""
    parts = parts_by_size(_centre_pins())
    return [KeptSize(size, parts.get(size)) for size in ladder()]


def sizes_at_hand() -> tuple[Scheme, list[PinSize]]:
    """Return the shop's scheme and the sizes it keeps, thinnest first; without any, all made."""
    scheme = Scheme(ShopProfile.objects.get().pin_size_scheme)
    kept = sorted(parts_by_size(_centre_pins()), key=lambda size: size.diameter_um)
    return scheme, kept or ladder([scheme])


def parts_by_size(pins: Iterable[Part]) -> dict[PinSize, Part]:
    """Return the pin of each size: of several, the one whose diameter is nearest to it."""
    parts: dict[PinSize, Part] = {}
    for pin in pins:
        size = nearest_size(pin.diameter_um or 0, Scheme(pin.size_scheme))
        held = parts.get(size)
        if held is None or _off(pin, size) < _off(held, size):
            parts[size] = pin
    return parts


def _centre_pins() -> Iterable[Part]:
    return Part.objects.filter(category=PartCategory.CENTRE_PIN, is_active=True).order_by("pk")


def _off(pin: Part, size: PinSize) -> int:
    return abs((pin.diameter_um or 0) - size.diameter_um)
