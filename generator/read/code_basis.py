"""The folders of codes/: each one code basis, with basis.yaml, wiring_methods.yaml and its tables."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path as FilePath

from generator.errors import FILE_KEY, Fault
from generator.model.codes import BasisHeader, CodeBasis, CodeTable, Methods
from generator.model.inputs import Place
from generator.read.folder import yaml_files
from generator.read.table_laws import breaches
from generator.read.yaml_file import YamlFile, load_yaml_file
from generator.read.yaml_marks import Path

HEADER, METHODS = "basis.yaml", "wiring_methods.yaml"
_TYPES: Mapping[str, type[BasisHeader | Methods | CodeTable]] = {HEADER: BasisHeader, METHODS: Methods}


@dataclass(frozen=True, slots=True)
class BasisFolder:
    """What was read of one folder: `basis` is None when it has faults."""

    id: str
    basis: CodeBasis | None
    faults: tuple[Fault, ...]
    places: Mapping[Path, Place]


def read_basis_folder(folder: FilePath, root: FilePath) -> BasisFolder:
    """Read a code basis; never raises for what is in it. File names are shown relative to `root`."""
    paths, faults = yaml_files(folder, root)
    names = {path.name for path in paths}
    shown = folder.relative_to(root).as_posix()
    for needed in (HEADER, METHODS):
        if needed not in names:
            faults.append(Fault(f"{shown}/{needed}", 1, 1, FILE_KEY, "this file is missing", "a code basis needs it"))
    files = [
        load_yaml_file(path, _TYPES.get(path.name, CodeTable), path.relative_to(root).as_posix()) for path in paths
    ]
    for file in files:
        faults += file.faults or _misnamed(file, folder.name)
    faults += _lawless(files)
    places = {key: place for file in files for key, place in file.places("code", f"{folder.name}.{file.stem}").items()}
    return BasisFolder(folder.name, None if faults else _assembled(files), tuple(faults), places)


def _misnamed(file: YamlFile[BasisHeader | Methods | CodeTable], folder: str) -> list[Fault]:
    faults = []
    if file.value and file.value.table != file.stem:
        wrong = f"'{file.value.table}' is not the file's name"
        faults.append(file.fault(("table",), wrong, f"write {file.stem}, or rename the file"))
    if isinstance(file.value, BasisHeader) and file.value.id != folder:
        wrong = f"'{file.value.id}' is not the folder's name"
        faults.append(file.fault(("id",), wrong, f"write {folder}, or rename the folder"))
    return faults


def _lawless(files: list[YamlFile[BasisHeader | Methods | CodeTable]]) -> list[Fault]:
    """Return a fault for every cell that breaks its table's law; none where the basis states no sizes to judge by."""
    sizes = next((file.value.sizes for file in files if isinstance(file.value, BasisHeader)), ())
    tables = ((file, file.value) for file in files if isinstance(file.value, CodeTable))
    return [
        file.fault(breach.path, breach.wrong, breach.expected)
        for file, table in tables
        for breach in (breaches(table, sizes) if sizes else ())
    ]


def _assembled(files: list[YamlFile[BasisHeader | Methods | CodeTable]]) -> CodeBasis:
    values = [file.value for file in files]
    (header,) = (value for value in values if isinstance(value, BasisHeader))
    (methods,) = (value for value in values if isinstance(value, Methods))
    return CodeBasis(header, methods, {value.table: value for value in values if isinstance(value, CodeTable)})
