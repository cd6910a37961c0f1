"""The folders of codes/, each one code basis: basis, clauses, wiring methods and pass limits, and its tables."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Set
from dataclasses import dataclass
from pathlib import Path as FilePath
from typing import TypeVar

from generator.errors import FILE_KEY, Fault
from generator.model.inputs import FilePlace
from generator.model.tables.basis_header import BasisHeader
from generator.model.tables.clauses import FINDINGS, WORKING, Clauses
from generator.model.tables.code_file import CodeFile
from generator.model.tables.codes import CodeBasis, CodeTable, Methods
from generator.model.tables.pass_limits import PassLimits
from generator.model.tables.plumbing import PlumbingRules
from generator.read.tables.table_laws import breaches
from generator.read.yaml.fault_words import listed, nearest
from generator.read.yaml.folder import yaml_files
from generator.read.yaml.yaml_file import YamlFile, load_yaml_file
from generator.read.yaml.yaml_marks import Path

HEADER, METHODS, RULES, PASSES = "basis.yaml", "wiring_methods.yaml", "rules.yaml", "pass_limits.yaml"
_File = BasisHeader | Methods | Clauses | PassLimits | CodeTable
# Rows that are called by their names, by table.
NAMED_ROWS = {
    "load_factors": ("continuous", "unmarked"),
    "appliance_limits": ("unmarked", "small-parts", "large-parts"),
}
Header = TypeVar("Header", bound=CodeFile)
_TYPES: Mapping[str, type[_File]] = {HEADER: BasisHeader, METHODS: Methods, RULES: Clauses, PASSES: PassLimits}


@dataclass(frozen=True, slots=True)
class BasisFolder:
    """What was read of one folder: `basis` is None when it has faults."""

    id: str
    basis: CodeBasis | None
    faults: tuple[Fault, ...]
    places: Mapping[Path, FilePlace]


def read_basis_folder(folder: FilePath, root: FilePath) -> BasisFolder:
    """Read a code basis; never raises for what is in it. File names are shown relative to `root`."""
    paths, faults = yaml_files(folder, root)
    names = {path.name for path in paths}
    shown = folder.relative_to(root).as_posix()
    for needed in _TYPES:
        if needed not in names:
            faults.append(Fault(f"{shown}/{needed}", 1, 1, FILE_KEY, "this file is missing", "a code basis needs it"))
    files = [
        load_yaml_file(path, _TYPES.get(path.name, CodeTable), path.relative_to(root).as_posix()) for path in paths
    ]
    for file in files:
        faults += file.faults or [*misnamed(file), *_misfiled(file, folder.name)]
    faults += [*_lawless(files), *_nameless(files), *_unruly(files), *_unmade(files)]
    places = {key: place for file in files for key, place in file.places("code", f"{folder.name}.{file.stem}").items()}
    return BasisFolder(folder.name, None if faults else _assembled(files), tuple(faults), places)


def misnamed(file: YamlFile[Header]) -> Iterator[Fault]:
    """Yield a fault where a table's name is not its file's."""
    if file.value and file.value.table != file.stem:
        wrong = f"'{file.value.table}' is not the file's name"
        yield file.fault(("table",), wrong, f"write {file.stem}, or rename the file")


def _misfiled(file: YamlFile[_File], folder: str) -> Iterator[Fault]:
    if isinstance(file.value, BasisHeader) and file.value.id != folder:
        wrong = f"'{file.value.id}' is not the folder's name"
        yield file.fault(("id",), wrong, f"write {folder}, or rename the folder")


def _lawless(files: list[YamlFile[_File]]) -> list[Fault]:
    """Return a fault for every cell that breaks its table's law; none where the basis states no sizes to judge by."""
    sizes = next((file.value.sizes for file in files if isinstance(file.value, BasisHeader)), ())
    tables = ((file, file.value) for file in files if isinstance(file.value, CodeTable))
    return [
        file.fault(breach.path, breach.wrong, breach.expected)
        for file, table in tables
        for breach in (breaches(table, sizes) if sizes else ())
    ]


def _nameless(files: list[YamlFile[_File]]) -> Iterator[Fault]:
    """Yield a fault for every row that is called by its name and that its table lacks."""
    for file in files:
        names = NAMED_ROWS.get(file.value.table, ()) if isinstance(file.value, CodeTable) else ()
        for name in names:
            if isinstance(file.value, CodeTable) and name not in file.value.rows:
                yield file.fault(("rows",), f"the row '{name}' is missing", f"write it as {file.value.source} has it")


def _unruly(files: list[YamlFile[_File]]) -> Iterator[Fault]:
    """Yield a fault for every rule that the basis's family asks for and rules.yaml lacks, or that no family knows."""
    family = next((file.value.family for file in files if isinstance(file.value, BasisHeader)), None)
    for file in files:
        if family is not None and isinstance(file.value, Clauses):
            yield from rule_faults(file, FINDINGS[family] | WORKING[family], family)


def rule_faults(file: YamlFile[_File] | YamlFile[PlumbingRules], wanted: Set[str], family: str) -> Iterator[Fault]:
    """Yield a fault for every rule of `wanted` that the file of rules lacks, and every other that it holds."""
    if not isinstance(file.value, Clauses):
        return
    held = file.value.rules.keys()
    for rule in sorted(wanted - held):
        yield file.fault(("rules",), f"nothing says who asks for '{rule}'", f"a clause for {rule}")
    for rule in sorted(held - wanted):
        near = nearest(rule, wanted)
        expected = f"the nearest is '{near}'" if near else f"one of {listed(sorted(wanted))}"
        yield file.fault(("rules", rule), f"'{rule}' is no rule of the family {family}", expected)


def _unmade(files: list[YamlFile[_File]]) -> Iterator[Fault]:
    """Yield a fault for every size of a wiring method that is none of the basis, or a smallest above its largest."""
    sizes = next((file.value.sizes for file in files if isinstance(file.value, BasisHeader)), ())
    for file in files:
        for name, method in file.value.methods.items() if sizes and isinstance(file.value, Methods) else ():
            for key, by_metal in (("smallest", method.smallest), ("largest", method.largest)):
                for metal, size in by_metal.items():
                    if size not in sizes:
                        wrong = f"'{size}' is no size of this basis"
                        yield file.fault(("methods", name, key, metal), wrong, f"write one of {listed(sizes)}")
            for metal in method.smallest.keys() & method.largest.keys():
                first, last = method.smallest[metal], method.largest[metal]
                if {first, last} <= set(sizes) and sizes.index(first) > sizes.index(last):
                    wrong = f"{first} is larger than the largest, {last}"
                    yield file.fault(("methods", name, "smallest", metal), wrong, f"{last} or smaller")


def _assembled(files: list[YamlFile[_File]]) -> CodeBasis:
    values = [file.value for file in files]
    (header,) = (value for value in values if isinstance(value, BasisHeader))
    (methods,) = (value for value in values if isinstance(value, Methods))
    (rules,) = (value for value in values if isinstance(value, Clauses))
    (passes,) = (value for value in values if isinstance(value, PassLimits))
    tables = {value.table: value for value in values if isinstance(value, CodeTable)}
    return CodeBasis(header, methods, rules, passes, tables)
