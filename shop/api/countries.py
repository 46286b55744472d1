"""Countries, as addresses name them."""

from rest_framework import serializers


class CountryField(serializers.RegexField):
    """A country by its two capital letters (ISO 3166-1 alpha-2), or left open."""

    def __init__(self) -> None:
        super().__init__(r"^[A-Z]{2}$", required=False, allow_blank=True)
