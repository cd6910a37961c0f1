"""What the head of a code basis states, for rules that cannot do without it."""

from __future__ import annotations

from typing import TypeVar

from generator.errors import CannotCompute
from generator.model.tables.codes import CodeBasis

Stated = TypeVar("Stated")


def stated(found: Stated | None, key: str, basis: CodeBasis) -> Stated:
    """Return what a basis states under the key; CannotCompute for nothing, which no basis is read without."""
    if found is None:
        raise CannotCompute(("code_basis",), f"the basis {basis.id} states no '{key}'", "a basis that does")
    return found
