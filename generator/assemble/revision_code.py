"""The short code on a card by which two prints of it can be told apart at a glance."""

from __future__ import annotations

import hashlib

from generator.model.register.card_codes import ALPHABET, SIGNS


def revision_code(content: bytes) -> str:
    """Return the code of a card's content: the first 40 bits of its SHA-256, as in 7KQM-2F9D."""
    bits = int.from_bytes(hashlib.sha256(content).digest()[:5])
    signs = "".join(ALPHABET[bits >> 5 * place & 31] for place in reversed(range(SIGNS)))
    return f"{signs[:4]}-{signs[4:]}"
