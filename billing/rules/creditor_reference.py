"""The structured creditor reference that a payer quotes and a bank passes on."""

import re

LONGEST_BODY = 21


def creditor_reference(text: str) -> str:
    """Return the reference `RF`, two check digits and the letters and digits of `text`.

    Source: ISO 11649: check digits by ISO/IEC 7064 MOD 97-10 over the body, then RF and 00, letters
    counting from A = 10.

    Raises:
        ValueError: no letter or digit is left, or more than 21 are.
    """
    body = re.sub(r"[^0-9A-Z]", "", text.upper())
    if not 1 <= len(body) <= LONGEST_BODY:
        raise ValueError(f"A reference is made of 1 to {LONGEST_BODY} letters and digits.")
    digits = "".join(str(int(each, 36)) for each in f"{body}RF00")
    return f"RF{98 - int(digits) % 97:02d}{body}"
