"""The folders of plumbing/: each one plumbing basis, a file rules.yaml with its limits and the clauses of its rules."""

from __future__ import annotations

from pathlib import Path as FilePath

from generator.errors import FILE_KEY, Fault
from generator.model.tables.clauses import PLUMBING
from generator.model.tables.plumbing import PlumbingRules
from generator.read.tables.code_basis import rule_faults
from generator.read.yaml.folder import subfolders
from generator.read.yaml.yaml_file import YamlFile, load_yaml_file

NAME = "rules.yaml"


def read_plumbing(folder: FilePath, root: FilePath) -> tuple[dict[str, YamlFile[PlumbingRules]], list[Fault]]:
    """Return the file of each basis by its folder's name, and all faults; none of either where there is no folder."""
    if not folder.is_dir():
        return {}, []
    paths, faults = subfolders(folder, root)
    files = {}
    for path in paths:
        shown = f"{path.relative_to(root).as_posix()}/{NAME}"
        if not (path / NAME).is_file():
            faults.append(Fault(shown, 1, 1, FILE_KEY, "this file is missing", "a plumbing basis needs it"))
            continue
        file = files[path.name] = load_yaml_file(path / NAME, PlumbingRules, shown)
        limits = {limit.rule for _, limit in file.value.limits.named()} if file.value else set()
        faults += [*file.faults, *rule_faults(file, PLUMBING | limits, "plumbing")]
    return files, faults
