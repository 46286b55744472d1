"""How addresses are written."""

# Where the postcode stands behind the town; elsewhere it stands before it.
# Source: from memory of the UPU's "Addressing systems", which has a sheet for each country.
POSTCODE_LAST = frozenset({"AU", "CA", "GB", "IE", "IN", "NZ", "US"})


def town_line(city: str, postcode: str, country: str) -> str:
    """Return town and postcode in the order of a country, given by its ISO 3166-1 code."""
    parts = (city, postcode) if country in POSTCODE_LAST else (postcode, city)
    return " ".join(part for part in parts if part)
