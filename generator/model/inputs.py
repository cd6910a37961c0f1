"""Everything a run reads, typed and frozen: what the read stage returns and the compute stage takes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from generator.model.burns import BurnTable
from generator.model.codes import CodeBasis
from generator.model.heater import HeaterModel
from generator.model.pipes import Pipes
from generator.model.plumbing import PlumbingRules
from generator.model.settings import Settings
from generator.model.site import Site
from generator.model.tolerances import Tolerances


@dataclass(frozen=True, slots=True)
class Place:
    """Where a value stands in a file (line and column counted from 1) and the text that stands there."""

    file: str
    line: int
    column: int
    text: str = ""


@dataclass(frozen=True, slots=True)
class Inputs:
    """The whole input of a run. `places` finds a value's place: (kind, id, *key path), such as
    ("site", "potting-shed", "route", "ambient")."""

    settings: Settings
    models: tuple[HeaterModel, ...]
    sites: tuple[Site, ...]
    codes: Mapping[str, CodeBasis]
    plumbing: Mapping[str, PlumbingRules]
    pipes: Pipes
    burns: tuple[BurnTable, ...]
    tolerances: Tolerances
    places: Mapping[tuple[str | int, ...], Place]

    def model(self, model_id: str) -> HeaterModel:
        """Return the heater model with this id; KeyError without."""
        return {model.id: model for model in self.models}[model_id]

    def basis_of(self, site: Site) -> CodeBasis:
        """Return the code basis that governs a site: its own, or the handbook's."""
        return self.codes[site.code_basis or self.settings.code_basis]

    def plumbing_of(self, site: Site) -> PlumbingRules | None:
        """Return the plumbing rules that hold at a site; None where none is held here.

        The handbook's hold at the sites of the handbook's own code basis, unless they name another.
        """
        at_home = site.code_basis in (None, self.settings.code_basis)
        name = site.plumbing_basis or (self.settings.plumbing_basis if at_home else None)
        return None if name is None else self.plumbing[name]
