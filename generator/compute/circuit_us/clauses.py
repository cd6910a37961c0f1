"""How the working names its clauses."""

from __future__ import annotations

from generator.model.codes import CodeBasis


def clause(basis: CodeBasis, which: str) -> str:
    """Return document, edition and clause in one phrase, such as `NFPA 70 2023, 240.4(B)`."""
    return f"{basis.header.document} {basis.header.edition}, {which}"
