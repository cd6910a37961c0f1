"""Who says so: the clauses of a basis, rule by rule, and the rules that each family asks its bases for."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from typing import Literal

from pydantic import Field, model_validator

from generator.model.scalars import Strict, Text, refuse
from generator.model.tables.code_file import CodeFile

Family = Literal["nfpa70", "iec60364"]

_BOTH = {
    "supply-voltage",
    "supply-frequency",
    "supply-phases",
    "supply-neutral",
    "heater-leads",
    "marked-device",
    "panel-spaces",
    "panel-demand",
    "disconnect",
    "enclosure",
    "terminal-material",
    "terminal-size",
    "voltage-drop",
    "wiring-method",
    "circuit-device",
    "existing-device",
    "existing-conductor",
    "existing-poles",
    "existing-ground",
    "existing-circuits",
}
# The rules of the findings, and what the working cites beside them.
FINDINGS: Mapping[Family, frozenset[str]] = {
    "nfpa70": frozenset(
        {
            *_BOTH,
            "supply-system",
            "agricultural-wiring",
            "element-subdivision",
            "ground-fault-protection",
            "arc-fault-protection",
            "limiter-marking",
            "existing-neutral",
        }
    ),
    "iec60364": frozenset({*_BOTH, "residual-current-protection"}),
}
WORKING: Mapping[Family, frozenset[str]] = {
    "nfpa70": frozenset(
        {
            "load-current",
            "service-voltage",
            "terminal-torque",
            "code-floor",
            "continuous-load",
            "storage-heaters",
            "ceiling-marked",
            "ceiling-small-load",
            "ceiling-unmarked",
            "small-parts",
            "large-parts",
            "poles",
            "correction",
            "termination-column",
            "ampacity-limits",
            "termination-limit",
            "insulation-limit",
            "corrected-ampacity",
            "device-protection",
            "small-conductor",
            "ground-enlarged",
            "ground-at-most",
        }
    ),
    "iec60364": frozenset(
        {
            "load-current",
            "service-voltage",
            "terminal-torque",
            "ceiling-marked",
            "conventional-current",
            "correction",
            "capacity-limits",
            "terminations",
            "conductor-resistance",
            "poles",
            "disconnection-time",
            "it-system",
            "residual-current-bathroom",
            "residual-current-type",
            "residual-current-outdoor",
            "residual-current-agricultural",
        }
    ),
}


# The rules of plumbing and energy that findings rest on, whatever the electrical code, beside those of the limits.
PLUMBING = frozenset({"hot-pipe", "mixed-metals", "thermal-expansion", "relief-valve", "flow-advised"})


class OtherDocument(Strict):
    """A document beside the basis's own that its rules cite; no edition where it has none, such as instructions."""

    document: Text
    edition: Text | None = None

    def cite(self, clause: str) -> str:
        """Return the document, its edition where it has one, and a clause in one phrase."""
        return f"{self.document} {self.edition}, {clause}" if self.edition else f"{self.document}, {clause}"


class Citation(Strict):
    """A clause, or a few, of one document: the file's own, or `of` another that the file lists."""

    clause: Text
    of: Text | None = None


class Clauses(CodeFile):
    """The file rules.yaml: rule -> who says so. Document and edition are the file's own, or those of `documents`."""

    documents: dict[str, OtherDocument] = {}
    rules: dict[str, tuple[Citation, ...]] = Field(min_length=1)

    @model_validator(mode="after")
    def _cites_documents_it_lists(self) -> Clauses:
        for rule, citations in self.rules.items():
            if not citations:
                raise refuse("nothing is cited", "at least one clause", "rules", rule)
            for index, one in enumerate(citations):
                if one.of is not None and one.of not in self.documents:
                    expected = f"one of {', '.join(self.documents)}" if self.documents else "list it under documents"
                    raise refuse(f"'{one.of}' is none of the documents", expected, "rules", rule, index, "of")
        return self

    def source_of(self, rule: str) -> str:
        """Return who says so: documents, editions and clauses in one phrase. KeyError for a rule not held."""
        return "; ".join(self._cited(one) for one in self.rules[rule])

    def clause_of(self, rule: str) -> str:
        """Return the clauses alone where they are the basis's own, with their document where not."""
        return "; ".join(one.clause if one.of is None else self._cited(one) for one in self.rules[rule])

    @cached_property
    def sources(self) -> Mapping[str, str]:
        """Rule -> who says so, for all rules."""
        return {rule: self.source_of(rule) for rule in self.rules}

    def _cited(self, one: Citation) -> str:
        return self.cite(one.clause) if one.of is None else self.documents[one.of].cite(one.clause)


class Adopted(Strict):
    """The editions that the site's jurisdiction has adopted of its electrical and its plumbing code."""

    electrical: Text | None = None
    plumbing: Text | None = None

    @model_validator(mode="after")
    def _says_something(self) -> Adopted:
        if self.electrical is None and self.plumbing is None:
            raise refuse("no edition stands here", 'the year that was adopted, such as electrical: "2023"')
        return self
