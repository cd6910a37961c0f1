"""The whole of site_data/ to the inputs of a run, or all that is wrong with it."""

from __future__ import annotations

from collections import ChainMap
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import chain
from pathlib import Path
from typing import Any

from generator.errors import FILE_KEY, Fault, InputFaults
from generator.model.content.own_rule import OwnRule
from generator.model.heater import HeaterModel
from generator.model.inputs import FilePlace, Inputs
from generator.model.settings import Settings
from generator.model.site import Site
from generator.model.tables.burns import Burns, BurnTable
from generator.model.tables.pipes import Pipes
from generator.model.tables.plumbing import PlumbingRules
from generator.model.tables.tolerances import Tolerances
from generator.model.tables.usual import Usual
from generator.read.fleets import read_fleets
from generator.read.installed import Registers, read_installed
from generator.read.readings import Readings, read_readings
from generator.read.references import Named, id_faults, settings_faults, sharing_faults, site_faults
from generator.read.tables.burns import read_burns
from generator.read.tables.code_basis import BasisFolder, read_basis_folder
from generator.read.tables.pipes import PipesFolder, read_pipes
from generator.read.tables.plumbing import read_plumbing
from generator.read.yaml.folder import subfolders, yaml_files
from generator.read.yaml.validate import Model
from generator.read.yaml.yaml_file import Places, YamlFile, load_yaml_file
from generator.read.yaml.yaml_marks import Path as KeyPath


def read_handbook(folder: Path, tables: Path | None = None) -> Inputs:
    """Return the inputs in `folder` (site_data/); InputFaults, with every fault of every file, otherwise.

    `tables`: where those of codes, pipes, burns and usual values lie, if not there.
    Files are named in faults and places relative to the folder's parent, such as site_data/sites/potting-shed.yaml.
    """
    inputs, faults = read_sound(folder, tables)
    if faults or inputs is None:
        raise InputFaults(faults)
    return inputs


def read_sound(folder: Path, tables: Path | None = None) -> tuple[Inputs | None, tuple[Fault, ...]]:
    """Return what of `folder` has no fault, and every fault, so that one file's do not hide what others mean.

    The inputs are None where what all sites share has faults. Otherwise as `read_handbook`; never raises.
    """
    folder, root = folder.resolve(), folder.resolve().parent
    if not folder.is_dir():
        return None, (absent(folder),)
    frame = read_frame(folder, tables.resolve() if tables else folder)
    sites, site_file_faults = _load_sites(folder, root)
    kept = read_kept(folder, root, {file.stem: file.value for file in sites}, models=frame.known.models)
    faults = [*frame.common, *frame.model_faults, *site_file_faults, *frame.rule_faults, *kept.faults]
    faults += _across(frame.models, sites, frame.known)
    if frame.common:
        return None, tuple(faults)
    return frame.inputs(sites, kept, at_fault={fault.file for fault in faults}), tuple(faults)


@dataclass(frozen=True, slots=True)
class Frame:
    """All of a handbook but its sites and what is kept of them. `common`: the faults of what all sites share."""

    settings: YamlFile[Settings]
    models: list[YamlFile[HeaterModel]]
    model_faults: list[Fault]
    bases: list[BasisFolder]
    plumbing: Mapping[str, YamlFile[PlumbingRules]]
    shared: _Shared
    rules: list[YamlFile[OwnRule]]
    rule_faults: list[Fault]
    known: Named
    common: list[Fault]

    def inputs(self, sites: list[YamlFile[Site]], kept: _Kept, *, at_fault: Collection[str]) -> Inputs | None:
        """Return the inputs, with the models and sites whose files are not `at_fault`."""
        settings, tables = self.settings.value, self.shared.whole
        if tables is None or settings is None:
            return None
        sound = [file.value for file in self.models if file.value and file.name not in at_fault]
        ids = {model.id for model in sound}
        return Inputs(
            settings,
            tuple(sound),
            tuple(
                reached(one.value, settings)
                for one in sites
                if one.value and one.name not in at_fault and one.value.heater in ids
            ),
            {basis.id: basis.basis for basis in self.bases if basis.basis},
            {name: rules.value for name, rules in self.plumbing.items() if rules.value},
            *tables,
            self.places(sites, kept),
            kept.readings.records,
            kept.registers.by_site,
            tuple(file.value for file in self.rules if file.value),
        )

    def places(self, sites: list[YamlFile[Site]], kept: _Kept) -> Mapping[KeyPath, FilePlace]:
        """Return the place of every value, those of these sites among them."""
        parts: tuple[Any, ...] = (  # of a value that stands in two, the later holds
            self.settings.places("handbook", "handbook"),
            Places("model", self.models),
            Places("site", sites),
            *(basis.places for basis in self.bases),
            *(rules.places("plumbing", name) for name, rules in self.plumbing.items()),
            self.shared.places,
            kept.places,
            *(file.places("rule", file.stem) for file in self.rules),
        )
        return ChainMap(*reversed(parts))


def read_frame(folder: Path, lookup: Path) -> Frame:
    """Return what is read of a handbook but for its sites, its tables from `lookup`; never raises."""
    root = folder.parent
    settings = read_settings(folder)
    models, model_faults = _load_all(folder / "models", HeaterModel, root)
    bases, basis_faults = _load_bases(lookup / "codes", lookup.parent)
    plumbing, plumbing_faults = read_plumbing(lookup / "plumbing", lookup.parent)
    shared = _read_shared(lookup, lookup.parent)
    own = folder / "rules"
    rules, rule_faults = _load_all(own, OwnRule, root) if own.is_dir() else ([], [])
    named = {file.stem: file.value for file in models} | {file.value.id: file.value for file in models if file.value}
    known = Named(settings.value, named, {basis.id: basis.basis for basis in bases}, set(plumbing))
    common = [*settings.faults, *basis_faults, *plumbing_faults, *shared.faults]
    common += () if models or model_faults else (_no_model(folder),)
    common += settings_faults(settings, known.bases, known.plumbing)
    rule_faults += id_faults(rules)
    return Frame(settings, models, model_faults, bases, plumbing, shared, rules, rule_faults, known, common)


def reached(site: Site, settings: Settings) -> Site:
    """Return a site with the emergency number of the handbook where it states none and is on the same code."""
    at_home = site.code_basis in (None, settings.code_basis)
    if site.contacts.emergency or not at_home or settings.emergency is None:
        return site
    contacts = site.contacts.model_copy(update={"emergency": settings.emergency})
    return site.model_copy(update={"contacts": contacts})


def read_settings(folder: Path) -> YamlFile[Settings]:
    """Return what holds for the whole handbook as read from `folder` (site_data/); never raises."""
    return load_of(folder / "handbook.yaml", Settings, folder.parent)


@dataclass(frozen=True, slots=True)
class _Kept:
    """What is kept of the sites: what was measured there, and what is installed and hangs."""

    readings: Readings
    registers: Registers

    @property
    def faults(self) -> tuple[Fault, ...]:
        return (*self.readings.faults, *self.registers.faults)

    @property
    def places(self) -> Mapping[KeyPath, FilePlace]:
        return {**self.readings.places, **self.registers.places}


@dataclass(frozen=True, slots=True)
class _Shared:
    """The tables that every site shares, as read."""

    pipes: PipesFolder
    burns: YamlFile[Burns]
    tolerances: YamlFile[Tolerances]
    usual: YamlFile[Usual]

    @property
    def faults(self) -> tuple[Fault, ...]:
        return (*self.pipes.faults, *self.burns.faults, *self.tolerances.faults, *self.usual.faults)

    @property
    def whole(self) -> tuple[Pipes, tuple[BurnTable, ...], Tolerances, Usual] | None:
        """Return the tables, None where one of them has faults."""
        pipes, burns = self.pipes.pipes, self.burns.value
        if pipes and burns and self.tolerances.value and self.usual.value:
            return pipes, burns.tables, self.tolerances.value, self.usual.value
        return None

    @property
    def places(self) -> Mapping[KeyPath, FilePlace]:
        own = self.tolerances.places("tolerances", "tolerances") | self.usual.places("usual", "usual")
        return {**self.pipes.places, **self.burns.places("burns", "burns"), **own}


def read_kept(
    folder: Path, root: Path, sites: Mapping[str, Site | None], *, models: Mapping[str, HeaterModel | None]
) -> _Kept:
    """Return what is kept of the sites known by id, None where their file has faults; never raises."""
    return _Kept(
        read_readings(folder / "readings", root, sites=sites, models=models),
        read_installed(folder, root, sites=sites, models=models),
    )


def _read_shared(folder: Path, root: Path) -> _Shared:
    return _Shared(
        read_pipes(folder / "pipes", root),
        read_burns(folder, root),
        load_of(folder / "tolerances.yaml", Tolerances, root),
        load_of(folder / "usual.yaml", Usual, root),
    )


def _across(models: list[YamlFile[HeaterModel]], sites: list[YamlFile[Site]], known: Named) -> Iterator[Fault]:
    """Yield what the file of one model or site says and another contradicts or lacks."""
    yield from (*id_faults(models), *id_faults(sites), *sharing_faults(sites))
    yield from chain.from_iterable(site_faults(site, known) for site in sites)


def absent(folder: Path) -> Fault:
    """Return the fault of a folder that is not there."""
    return Fault(folder.name, 1, 1, FILE_KEY, "there is no such folder", "the folder that holds handbook.yaml")


def _no_model(folder: Path) -> Fault:
    wrong = "there is no heater model here"
    return Fault(f"{folder.name}/models", 1, 1, FILE_KEY, wrong, "write one, such as my-heater.yaml")


def load_of(file: Path, model: type[Model], root: Path) -> YamlFile[Model]:
    """Read a file, named in faults relative to `root`; never raises."""
    return load_yaml_file(file, model, file.relative_to(root).as_posix())


def _load_all(folder: Path, model: type[Model], root: Path) -> tuple[list[YamlFile[Model]], list[Fault]]:
    paths, faults = yaml_files(folder, root)
    files = [load_of(path, model, root) for path in paths]
    return files, [*faults, *chain.from_iterable(file.faults for file in files)]


def _load_sites(folder: Path, root: Path) -> tuple[list[YamlFile[Site]], list[Fault]]:
    """Return the sites with a file of their own, folder by folder, and behind them those of the tables."""
    paths, faults = site_files(folder)
    own = [load_site(path, folder) for path in paths]
    listed, more = read_fleets(folder / "fleets", root)
    return [*own, *listed], [*faults, *chain.from_iterable(file.faults for file in own), *more]


def site_files(folder: Path) -> tuple[list[Path], list[Fault]]:
    """Return the files of sites in `folder` (site_data/): those of no folder of their own, then folder by folder."""
    sites, root = folder / "sites", folder.parent
    paths, faults = yaml_files(sites, root)
    groups, _ = subfolders(sites, root)  # where it cannot be read it was told above
    for group in groups:
        held, wrong = yaml_files(group, root)
        paths, faults = [*paths, *held], [*faults, *wrong]
    return paths, faults


def load_site(path: Path, folder: Path) -> YamlFile[Site]:
    """Read the file of a site in `folder` (site_data/); the folder that it lies in is its group, unless it states one.

    Never raises.
    """
    file = load_of(path, Site, folder.parent)
    if path.parent == folder / "sites" or file.value is None or file.value.group is not None:
        return file
    return replace(file, value=file.value.model_copy(update={"group": path.parent.name}))


def _load_bases(folder: Path, root: Path) -> tuple[list[BasisFolder], list[Fault]]:
    paths, faults = subfolders(folder, root)
    bases = [read_basis_folder(path, root) for path in paths]
    return bases, [*faults, *chain.from_iterable(basis.faults for basis in bases)]
