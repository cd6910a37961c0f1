"""What moved between two runs: the change report, in the words a reader sees."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class InputChange:
    """An input value that differs; `old` or `new` is None where the key is only on one side."""

    file: str
    key: str
    old: str | None
    new: str | None


@dataclass(frozen=True, slots=True)
class FigureChange:
    """A computed figure whose shown text differs. `crossing` says which limit was crossed, empty for none."""

    id: str
    label: str
    old: str | None
    new: str | None
    difference: str
    crossing: str


@dataclass(frozen=True, slots=True)
class FindingChange:
    """A finding whose severity (or acceptance) differs; None where it is only on one side."""

    id: str
    subject: str
    old: str | None
    new: str | None


@dataclass(frozen=True, slots=True)
class CodeChange:
    """A page or card whose revision code differs: `kind` "card" or "page", `id` the site id or page path."""

    kind: str
    id: str
    old: str | None
    new: str | None


@dataclass(frozen=True, slots=True)
class ChangeReport:
    """Everything that moved from `old` to `new` (names of the two sides), limits crossed first."""

    old: str
    new: str
    generator_note: str
    inputs: tuple[InputChange, ...]
    figures: tuple[FigureChange, ...]
    findings: tuple[FindingChange, ...]
    codes: tuple[CodeChange, ...]

    @property
    def crossings(self) -> tuple[FigureChange, ...]:
        """The figures that crossed a limit."""
        return tuple(change for change in self.figures if change.crossing)

    @property
    def touches_safety(self) -> bool:
        """Whether a limit was crossed, a finding changed, or a printed card went stale."""
        return bool(self.crossings or self.findings or any(code.kind == "card" for code in self.codes))

    @property
    def empty(self) -> bool:
        """Whether nothing moved at all."""
        return not (self.inputs or self.figures or self.findings or self.codes)


def subject_of(figure_id: str) -> str:
    """Return the subject of a figure id: `site.potting-shed` of `site.potting-shed.circuit.a.device`."""
    return ".".join(figure_id.split(".")[:2])
