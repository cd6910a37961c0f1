"""The YAML files and folders that a folder of site_data/ holds, in order of name."""

from __future__ import annotations

from pathlib import Path

from generator.errors import FILE_KEY, Fault


def yaml_files(folder: Path, root: Path) -> tuple[list[Path], list[Fault]]:
    """Return the *.yaml files of a folder, and a fault for a file that looks like one but would not be read."""
    entries, faults = entries_of(folder, root)
    for entry in entries:
        if entry.suffix != ".yaml" and entry.suffix.lower() in (".yaml", ".yml"):
            name = entry.relative_to(root).as_posix()
            wrong = f"a file that ends in {entry.suffix} is not read"
            faults.append(Fault(name, 1, 1, FILE_KEY, wrong, f"name it {entry.stem}.yaml, or move it away"))
    return [entry for entry in entries if entry.suffix == ".yaml"], faults


def subfolders(folder: Path, root: Path) -> tuple[list[Path], list[Fault]]:
    """Return the folders in a folder."""
    entries, faults = entries_of(folder, root)
    return [entry for entry in entries if entry.is_dir()], faults


def entries_of(folder: Path, root: Path) -> tuple[list[Path], list[Fault]]:
    """Return what a folder holds, by name, hidden entries (those of editors) left out."""
    try:
        found = [entry for entry in folder.iterdir() if not entry.name.startswith(".")]
    except OSError as error:
        name = folder.relative_to(root).as_posix()
        return [], [Fault(name, 1, 1, FILE_KEY, f"this cannot be read: {error.strerror}", "a folder that may be read")]
    return sorted(found, key=lambda entry: entry.name), []
