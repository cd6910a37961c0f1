"""The whole of site_data/ to the inputs of a run, or all that is wrong with it."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain
from pathlib import Path

from generator.errors import FILE_KEY, Fault, InputFaults
from generator.model.heater import HeaterModel
from generator.model.inputs import Inputs
from generator.model.settings import Settings
from generator.model.site import Site
from generator.model.tolerances import Tolerances
from generator.read.burns import read_burns
from generator.read.code_basis import BasisFolder, read_basis_folder
from generator.read.folder import subfolders, yaml_files
from generator.read.pipes import read_pipes
from generator.read.plumbing import read_plumbing
from generator.read.references import Known, id_faults, settings_faults, sharing_faults, site_faults
from generator.read.validate import Model
from generator.read.yaml_file import YamlFile, load_yaml_file


def read_handbook(folder: Path) -> Inputs:
    """Return the inputs in `folder` (site_data/); InputFaults, with every fault of every file, otherwise.

    Files are named in faults and places relative to the folder's parent, such as site_data/sites/potting-shed.yaml.
    """
    folder, root = folder.resolve(), folder.resolve().parent
    if not folder.is_dir():
        raise InputFaults([_absent(folder)])
    settings = _load(folder / "handbook.yaml", Settings, root)
    models, model_faults = _load_all(folder / "models", HeaterModel, root)
    sites, site_file_faults = _load_all(folder / "sites", Site, root)
    bases, basis_faults = _load_bases(folder / "codes", root)
    plumbing, plumbing_faults = read_plumbing(folder / "plumbing", root)
    pipes, burns = read_pipes(folder / "pipes", root), read_burns(folder, root)
    tolerances = _load(folder / "tolerances.yaml", Tolerances, root)

    faults = [*settings.faults, *model_faults, *site_file_faults, *basis_faults, *plumbing_faults, *pipes.faults]
    faults += [*burns.faults, *tolerances.faults]
    named = {file.stem: file.value for file in models} | {file.value.id: file.value for file in models if file.value}
    known = Known(settings.value, named, {basis.id: basis.basis for basis in bases}, set(plumbing))
    faults += () if models or model_faults else (_no_model(folder),)
    faults += _across(settings, models, sites, known=known)
    if faults or not (settings.value and pipes.pipes and burns.value and tolerances.value):
        raise InputFaults(faults)
    parts = (
        settings.places("handbook", "handbook"),
        *(file.places("model", file.stem) for file in models),
        *(file.places("site", file.stem) for file in sites),
        *(basis.places for basis in bases),
        *(rules.places("plumbing", name) for name, rules in plumbing.items()),
        pipes.places,
        burns.places("burns", "burns"),
        tolerances.places("tolerances", "tolerances"),
    )
    return Inputs(
        settings.value,
        tuple(file.value for file in models if file.value),
        tuple(file.value for file in sites if file.value),
        {basis.id: basis.basis for basis in bases if basis.basis},
        {name: rules.value for name, rules in plumbing.items() if rules.value},
        pipes.pipes,
        burns.value.tables,
        tolerances.value,
        {path: place for part in parts for path, place in part.items()},
    )


def _across(
    settings: YamlFile[Settings], models: list[YamlFile[HeaterModel]], sites: list[YamlFile[Site]], *, known: Known
) -> Iterator[Fault]:
    """Yield what one file says and another contradicts or lacks."""
    yield from settings_faults(settings, known.bases, known.plumbing)
    yield from (*id_faults(models), *id_faults(sites), *sharing_faults(sites))
    yield from chain.from_iterable(site_faults(site, known) for site in sites)


def _absent(folder: Path) -> Fault:
    return Fault(folder.name, 1, 1, FILE_KEY, "there is no such folder", "the folder that holds handbook.yaml")


def _no_model(folder: Path) -> Fault:
    wrong = "there is no heater model here"
    return Fault(f"{folder.name}/models", 1, 1, FILE_KEY, wrong, "write one, such as my-heater.yaml")


def _load(file: Path, model: type[Model], root: Path) -> YamlFile[Model]:
    return load_yaml_file(file, model, file.relative_to(root).as_posix())


def _load_all(folder: Path, model: type[Model], root: Path) -> tuple[list[YamlFile[Model]], list[Fault]]:
    paths, faults = yaml_files(folder, root)
    files = [_load(path, model, root) for path in paths]
    return files, [*faults, *chain.from_iterable(file.faults for file in files)]


def _load_bases(folder: Path, root: Path) -> tuple[list[BasisFolder], list[Fault]]:
    paths, faults = subfolders(folder, root)
    bases = [read_basis_folder(path, root) for path in paths]
    return bases, [*faults, *chain.from_iterable(basis.faults for basis in bases)]
