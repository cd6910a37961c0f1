"""What is installed at the sites and hangs there: site_data/installed/<site>.yaml, one file a site."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from generator.errors import FILE_KEY, Fault
from generator.model.heater import HeaterModel
from generator.model.inputs import FilePlace
from generator.model.register.installed import Installed
from generator.model.site import Site
from generator.read.yaml.fault_words import unknown
from generator.read.yaml.folder import yaml_files
from generator.read.yaml.yaml_file import YamlFile, load_yaml_file
from generator.read.yaml.yaml_marks import Path as KeyPath

FOLDER = "installed"


@dataclass(frozen=True, slots=True)
class Registers:
    """The registers by site, their places, and what is wrong."""

    by_site: Mapping[str, Installed] = field(default_factory=dict)
    places: Mapping[KeyPath, FilePlace] = field(default_factory=dict)
    faults: tuple[Fault, ...] = ()


def read_installed(
    data: Path, root: Path, *, sites: Mapping[str, Site | None], models: Mapping[str, HeaterModel | None]
) -> Registers:
    """Return the registers under `data`; a site, model or stage that is not known, and a heater in two places, is a
    fault. `sites` and `models` are those known by id, None where their file has faults."""
    folder = data / FOLDER
    if not folder.is_dir():
        return Registers()
    paths, faults = yaml_files(folder, root)
    files = [load_yaml_file(path, Installed, path.relative_to(root).as_posix()) for path in paths]
    places: dict[KeyPath, FilePlace] = {}
    for file in files:
        faults += file.faults
        places |= file.places(FOLDER, file.stem)
        if file.stem not in sites:
            faults.append(Fault(file.name, 1, 1, FILE_KEY, *unknown(file.stem, "a site", sites)))
        faults += _model_faults(file, models)
        site = sites.get(file.stem)
        faults += _stage_faults(file, models.get(site.heater) if site else None)
    faults += _serial_faults(files)
    return Registers({file.stem: file.value for file in files if file.value}, places, tuple(faults))


def _model_faults(file: YamlFile[Installed], models: Collection[str]) -> Iterator[Fault]:
    for place, unit in enumerate(file.value.heaters if file.value else ()):
        if unit.model not in models:
            yield file.fault(("heaters", place, "model"), *unknown(unit.model, "a heater model", models))


def _stage_faults(file: YamlFile[Installed], model: HeaterModel | None) -> Iterator[Fault]:
    for place, one in enumerate(file.value.readings if file.value and model else ()):
        if model and one.stages is not None and one.stages > len(model.stages):
            expected = f"write stages from 1 to {len(model.stages)}"
            yield file.fault(("readings", place, "stages"), f"{model.id} has no stage {one.stages}", expected)


def _serial_faults(files: list[YamlFile[Installed]]) -> Iterator[Fault]:
    """Yield the heaters that are said to be at two sites at once."""
    there: dict[tuple[str, str], str] = {}
    for file in files:
        for place, unit in enumerate(file.value.heaters if file.value else ()):
            if unit.until is not None:
                continue
            other = there.setdefault((unit.model, unit.serial), file.stem)
            if other != file.stem:
                wrong = f"the {unit.model} {unit.serial} is at {other} too"
                yield file.fault(("heaters", place, "serial"), wrong, "write `until` where it left")
