"""Everything a run reads, typed and frozen: what the read stage returns and the compute stage takes."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from generator.errors import CannotCompute, Fault, dotted
from generator.model.content.own_rule import OwnRule
from generator.model.heater import HeaterModel
from generator.model.readings import Record
from generator.model.register.installed import Installed
from generator.model.settings import Settings
from generator.model.site import Site
from generator.model.tables.burns import BurnTable
from generator.model.tables.codes import CodeBasis
from generator.model.tables.pipes import Pipes
from generator.model.tables.plumbing import PlumbingRules
from generator.model.tables.tolerances import Tolerances
from generator.model.tables.usual import Usual


@dataclass(frozen=True, slots=True)
class FilePlace:
    """Where a value stands in a file (line and column counted from 1) and the text that stands there."""

    file: str
    line: int
    column: int
    text: str = ""


@dataclass(frozen=True)
class Inputs:
    """The whole input of a run. `records`: what was measured, by site and day; `installed`: the registers, by site;
    `rules`: those of the handbook's own.

    `places` finds a value's place: (kind, id, *key path), such as
    ("site", "potting-shed", "route", "ambient")."""

    settings: Settings
    models: tuple[HeaterModel, ...]
    sites: tuple[Site, ...]
    codes: Mapping[str, CodeBasis]
    plumbing: Mapping[str, PlumbingRules]
    pipes: Pipes
    burns: tuple[BurnTable, ...]
    tolerances: Tolerances
    usual: Usual
    places: Mapping[tuple[str | int, ...], FilePlace]
    records: tuple[Record, ...] = ()
    installed: Mapping[str, Installed] = field(default_factory=dict)
    rules: tuple[OwnRule, ...] = ()

    def nearest(self, path: tuple[str | int, ...]) -> FilePlace:
        """Return the place of (kind, id, *key path), or of the nearest key above it that stands in the file."""
        return next(self.places[path[:end]] for end in range(len(path), 1, -1) if path[:end] in self.places)

    def fault(self, subject: tuple[str, str], refusal: CannotCompute) -> Fault:
        """Return what cannot be computed of a (kind, id) as a fault at its place."""
        place = self.nearest((*subject, *refusal.where))
        return Fault(place.file, place.line, place.column, dotted(refusal.where), refusal.wrong, refusal.expected)

    def model(self, model_id: str) -> HeaterModel:
        """Return the heater model with this id; KeyError without."""
        return self._models[model_id]

    @cached_property
    def _models(self) -> Mapping[str, HeaterModel]:
        return {model.id: model for model in self.models}

    def beside(self, *sites: Site) -> tuple[Site, ...]:
        """Return all sites that name a panel or a water source of one of these, themselves among them, in order."""
        near = {place for site in sites for named in shared_by(site) for place in self._sharing.get(named, ())}
        return tuple(self.sites[place] for place in sorted(near))

    @cached_property
    def _sharing(self) -> Mapping[tuple[str, str], list[int]]:
        found = defaultdict[tuple[str, str], list[int]](list)
        for place, site in enumerate(self.sites):
            for named in shared_by(site):
                found[named].append(place)
        return found

    def basis_of(self, site: Site) -> CodeBasis:
        """Return the code basis that governs a site: its own, or the handbook's."""
        return self.codes[site.code_basis or self.settings.code_basis]

    def basis_of_model(self, model: HeaterModel) -> CodeBasis:
        """Return the code basis on which a model is shown: the first of its sites', the handbook's, or any other, that
        is for the model's frequency; the handbook's where none is."""
        own = self.codes[self.settings.code_basis]
        bases = (*(self.basis_of(site) for site in self.sites if site.heater == model.id), own, *self.codes.values())
        return next((one for one in bases if one.header.frequency_hz == model.frequency_hz), own)

    def records_of(self, site: Site) -> tuple[Record, ...]:
        """Return the records of a site, the oldest first."""
        return tuple(sorted(self._records.get(site.id, ()), key=lambda one: one.date))

    @cached_property
    def _records(self) -> Mapping[str, list[Record]]:
        found = defaultdict[str, list[Record]](list)
        for record in self.records:
            found[record.site].append(record)
        return found

    def plumbing_of(self, site: Site) -> PlumbingRules | None:
        """Return the plumbing rules that hold at a site; None where none is held here.

        The handbook's hold at the sites of the handbook's own code basis, unless they name another.
        """
        at_home = site.code_basis in (None, self.settings.code_basis)
        name = site.plumbing_basis or (self.settings.plumbing_basis if at_home else None)
        return None if name is None else self.plumbing[name]


def shared_by(site: Site) -> Iterator[tuple[str, str]]:
    """Yield what a site has in common with all others that name it: ("panel", its id), ("source", its id)."""
    if site.supply.panel.id is not None:
        yield "panel", site.supply.panel.id
    if site.water.source is not None and site.water.source.id is not None:
        yield "source", site.water.source.id
