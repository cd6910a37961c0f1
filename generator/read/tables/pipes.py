"""The folder pipes/: materials.yaml, and the published tables of sizes, ratings, velocities and fittings."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path as FilePath

from generator.errors import FILE_KEY, Fault, MissingCell
from generator.model.inputs import FilePlace
from generator.model.tables.pipes import ABOVE, UP_TO, PipeMaterials, Pipes, PipeTable
from generator.read.tables.code_basis import misnamed
from generator.read.tables.table_laws import breaches, temperature_k
from generator.read.yaml.fault_words import listed, unknown
from generator.read.yaml.folder import yaml_files
from generator.read.yaml.yaml_file import YamlFile, load_yaml_file
from generator.read.yaml.yaml_marks import Path

HEADER = "materials.yaml"
# Kind of table -> the laws that such a table may name.
KINDS: Mapping[str, tuple[str, ...]] = {
    "sizes": ("pipe",),
    "ratings": ("pressure", "pressure by size", "stress", "derating"),
    "velocities": ("velocity",),
    "fittings": ("lengths", "lengths by size", "heads"),
}
COLUMNS = (("outside", "wall"), ("outside", "wall", "tolerance"))
# Part of a rating -> the law of the table that it names.
PARTS = {"pressure": "pressure", "at_base": "pressure by size", "factor": "derating", "stress": "stress"}
UNITS: Mapping[str, tuple[str, ...]] = {
    "pipe": ("in", "mm"),
    "pressure": ("psi", "bar"),
    "pressure by size": ("psi", "bar"),
    "stress": ("psi",),
    "derating": ("ratio",),
    "velocity": ("ft/s", "m/s"),
    "lengths": ("diameters",),
    "lengths by size": ("ft", "m"),
    "heads": ("velocity heads",),
}


@dataclass(frozen=True, slots=True)
class PipesFolder:
    """What was read of the folder: `pipes` is None when it has faults."""

    pipes: Pipes | None
    faults: tuple[Fault, ...]
    places: Mapping[Path, FilePlace]


def read_pipes(folder: FilePath, root: FilePath) -> PipesFolder:
    """Read the folder of pipes; never raises for what is in it. File names are shown relative to `root`."""
    shown = folder.relative_to(root).as_posix()
    if not (folder / HEADER).is_file():
        fault = Fault(f"{shown}/{HEADER}", 1, 1, FILE_KEY, "this file is missing", "the pipes that a site may name")
        return PipesFolder(None, (fault,), {})
    header = load_yaml_file(folder / HEADER, PipeMaterials, f"{shown}/{HEADER}")
    faults = list(header.faults or misnamed(header))
    files: dict[str, list[YamlFile[PipeTable]]] = {}
    for kind in KINDS:
        paths, more = yaml_files(folder / kind, root)
        files[kind] = [load_yaml_file(path, PipeTable, path.relative_to(root).as_posix()) for path in paths]
        faults += more
        for file in files[kind]:
            faults += file.faults or [*misnamed(file), *_unlike_its_kind(file, kind)]
    if header.value:
        faults += [fault for kind in files.values() for file in kind for fault in _lawless(file, header.value)]
    known = {kind: {file.stem: file.value for file in those if file.value} for kind, those in files.items()}
    pipes = Pipes(header.value, **known) if header.value and not faults else None
    faults += _unjoined(header, pipes) if pipes else ()
    places = header.places("pipes", "materials")
    for kind, those in files.items():
        for file in those:
            places.update(file.places("pipes", f"{kind}.{file.stem}"))
    return PipesFolder(None if faults else pipes, tuple(faults), places)


def _unlike_its_kind(file: YamlFile[PipeTable], kind: str) -> Iterator[Fault]:
    table = file.value
    if table is None:
        return
    if table.law not in KINDS[kind]:
        yield file.fault(("law",), f"'{table.law}' is no law of {kind}", f"write {listed(KINDS[kind])}")
    elif table.unit not in UNITS[table.law]:
        yield file.fault(("unit",), f"'{table.unit}' is no unit of this law", f"write {listed(UNITS[table.law])}")
    elif kind == "sizes" and table.columns not in COLUMNS:
        yield file.fault(("columns",), "these are not the columns of sizes", f"write {listed(COLUMNS[1])}")
    elif kind == "velocities":
        for row in table.rows.keys() - {"cold", "hot"}:
            if not row.startswith(ABOVE) or temperature_k(row.removeprefix(ABOVE)) is None:
                yield file.fault(("rows", row), f"'{row}' is no row of velocities", "cold, hot, or above 140 degF")


def _lawless(file: YamlFile[PipeTable], header: PipeMaterials) -> Iterator[Fault]:
    """Yield a fault for every cell that breaks its table's law, and for a column up to a size that is none."""
    if file.value is None:
        return
    for breach in breaches(file.value, header.sizes):
        yield file.fault(breach.path, breach.wrong, breach.expected)
    for place, column in enumerate(file.value.columns):
        if column.startswith(UP_TO) and column.removeprefix(UP_TO) not in header.sizes:
            yield file.fault(("columns", place), f"'{column}' ends at no size", f"to one of {listed(header.sizes)}")


def _unjoined(file: YamlFile[PipeMaterials], pipes: Pipes) -> Iterator[Fault]:
    """Yield a fault for every table that a material names and that is not there, or that lacks what is asked of it."""
    for name, material in pipes.materials.items():
        at = ("materials", name)
        wanted: list[tuple[str, Path, str]] = [("sizes", at, name)]
        wanted += [("ratings", (*at, "rating", part), table) for part, table in material.rating.tables.items()]
        wanted += [("velocities", (*at, "velocities", place), one) for place, one in enumerate(material.velocities)]
        wanted += [("fittings", (*at, "joints", joint), table) for joint, table in material.joints.items()]
        missing = [(kind, path, table) for kind, path, table in wanted if table not in getattr(pipes, kind)]
        for kind, path, table in missing:
            yield file.fault(path, *unknown(table, f"a table of {kind}/", getattr(pipes, kind)))
        if not missing:
            yield from _of_another_law(file, pipes, name) or _lacking(file, pipes, name)
    for place, valve in enumerate(pipes.header.valves):
        if valve not in pipes.fitting_kinds:
            yield file.fault(("valves", place), *unknown(valve, "a fitting", pipes.fitting_kinds))


def _of_another_law(file: YamlFile[PipeMaterials], pipes: Pipes, name: str) -> list[Fault]:
    """Return a fault for every part of a material's rating that is a table of another kind."""
    faults = []
    for part, table in pipes.materials[name].rating.tables.items():
        if (law := pipes.ratings[table].law) != PARTS[part]:
            wrong = f"'{table}' is a table of the law {law}"
            faults.append(file.fault(("materials", name, "rating", part), wrong, f"one of the law {PARTS[part]}"))
    return faults


def _lacking(file: YamlFile[PipeMaterials], pipes: Pipes, name: str) -> Iterator[Fault]:
    """Yield a fault for the first cell that a material needs and that its tables do not state."""
    try:
        pipes.limits(name)
        for size in pipes.sizes[name].rows:
            pipes.strength(name, size)
            for table in pipes.materials[name].joints.values():
                for kind in pipes.fittings[table].kinds:
                    pipes.fittings[table].diameters(kind, size, bore_m=1.0)
    except MissingCell as missing:
        yield file.fault(("materials", name), str(missing), "a table that states it")
