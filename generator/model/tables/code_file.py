"""What every file of a basis says of itself: what it is, where it stands, how its values were obtained and compared."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BeforeValidator, model_validator

from generator.model.scalars import Count, Strict, Text, refuse

NULLS = ("null", "~", "")


def null(value: Any) -> Any:
    """Return None for a null: "the document states none". Scalars arrive as text, so the word is read here."""
    return None if value in NULLS else value


OptionalText = Annotated[Text | None, BeforeValidator(null)]


class Transcription(Strict):
    """A public transcription by another author that a table was compared with: who, how many cells, how many differ.

    `decision`: which value holds where they differ, and why.
    """

    by: Text
    cells: Count
    differ: Count = 0
    decision: Text | None = None

    @model_validator(mode="after")
    def _differences_are_decided(self) -> Transcription:
        if self.differ > self.cells:
            raise refuse(f"{self.differ} of {self.cells} cells cannot differ", "at most as many as compared", "differ")
        if self.differ and self.decision is None:
            wrong = f"{self.differ} cells differ and nothing says which value holds"
            raise refuse(wrong, "a decision: which value holds, and why", "differ")
        return self


class CodeFile(Strict):
    """The header of a file: its name, document, edition, clause and title, and how its values were obtained."""

    table: Text
    document: Text
    edition: Text
    clause: Text
    title: Text
    obtained: Text
    compared: tuple[Transcription, ...] = ()

    def cite(self, clause: str) -> str:
        """Return this document, its edition and a clause in one phrase, such as `NFPA 70 2023, 240.4(B)`."""
        return f"{self.document} {self.edition}, {clause}"

    @property
    def source(self) -> str:
        """Document, edition and clause of the whole file in one phrase."""
        return self.cite(self.clause)
