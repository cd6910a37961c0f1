"""The signs of the short code on a card, and a code as a person types it."""

from __future__ import annotations

# 32 signs that nobody confuses on a wet sheet: no I, L, O, U, 0 or 1 look-alikes are left but the digits themselves.
ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
SIGNS = 8
# What a hand or an eye makes of signs that the codes do not use.
_MISREAD = str.maketrans({"O": "0", "I": "1", "L": "1", "U": "V"})


def read_code(text: str) -> str | None:
    """Return a revision code as it is printed, from what a person typed; None where it cannot be one."""
    signs = text.upper().replace("-", "").replace(" ", "").translate(_MISREAD)
    if len(signs) != SIGNS or not set(signs) <= set(ALPHABET):
        return None
    return f"{signs[:4]}-{signs[4:]}"
