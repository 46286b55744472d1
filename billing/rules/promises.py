"""What a quote promised as one text, and the digest that stands for it."""

import hashlib
import json
from collections.abc import Mapping
from typing import Any


def promise_text(promised: Mapping[str, Any]) -> str:
    """Return what was promised as JSON that is the same each time, whatever the order of names.

    Amounts, days and instants are written as text.
    """
    return json.dumps(
        promised, default=str, ensure_ascii=False, sort_keys=True, separators=(",", ":")
    )


def promise_digest(text: str) -> str:
    """Return the SHA-256 of a promise's text in UTF-8, in hexadecimal.

    Source: FIPS 180-4.
    """
    return hashlib.sha256(text.encode()).hexdigest()
