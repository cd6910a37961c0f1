"""The folders of plumbing/: each one plumbing basis, a file rules.yaml with the clauses of its rules."""

from __future__ import annotations

from pathlib import Path as FilePath

from generator.errors import FILE_KEY, Fault
from generator.model.rules import PLUMBING, Rules
from generator.read.code_basis import rule_faults
from generator.read.folder import subfolders
from generator.read.yaml_file import YamlFile, load_yaml_file

NAME = "rules.yaml"


def read_plumbing(folder: FilePath, root: FilePath) -> tuple[dict[str, YamlFile[Rules]], list[Fault]]:
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
        files[path.name] = load_yaml_file(path / NAME, Rules, shown)
        faults += files[path.name].faults
        faults += rule_faults(files[path.name], PLUMBING, "plumbing")
    return files, faults
