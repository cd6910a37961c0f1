"""A handbook's own folder laid over what the program brings: a file there stands for the program's of the same path.

The whole is laid out in the project's `.cache`, where templates, typesetter and site engine find it as plain folders.
What a project replaces is told by `handbook check`, and what of that the program has changed since: the originals as
they were when the project took its copy are kept, by digest, in site_data/originals.json.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from generator.errors import FILE_KEY, Fault, InputFaults
from generator.folders import Folders, shipped_root
from generator.render.files import mirror, write_if_changed
from generator.render.lock import in_turn

BROUGHT = (
    *("content", "mkdocs.yml"),
    *(f"site_data/{name}" for name in ("codes", "pipes", "plumbing", "burns.yaml", "tolerances.yaml", "usual.yaml")),
)
SAFETY = "content/notices/"
_NOTICE = re.compile(rb"^[ -]*\bid: *([a-z0-9-]+)", re.MULTILINE)
ORIGINALS = "site_data/originals.json"
_LEFT = ("content/readme/", "content/starter/")  # what the program itself reads, and no handbook
_CHECKOUT = "generator/cli.py"  # a folder with the program in it is whole


@dataclass(frozen=True, slots=True)
class Replaced:
    """A file of the program that a project replaces; `changed`: the program's is another than when it was copied.

    `changed` is None where nobody noted which it was. `lost`: the safety notices that it leaves out, by id.
    """

    path: str
    changed: bool | None
    lost: tuple[str, ...] = ()

    @property
    def is_safety(self) -> bool:
        """Whether safety notices stand in it."""
        return self.path.startswith(SAFETY)


def project(root: Path) -> Folders:
    """Return the folders of the handbook at `root`, with what the program brings laid out under its own files.

    InputFaults where `root` holds no handbook, or a link that leads out of it.
    """
    if not (root / "site_data").is_dir():
        wrong = "there is no handbook in this folder"
        expected = "run the command in the folder that holds site_data/, name it with --root, or begin one with"
        raise InputFaults([Fault(str(root), 1, 1, FILE_KEY, wrong, f"{expected} `handbook new FOLDER`")])
    if (root / _CHECKOUT).is_file():
        return Folders(root)
    whole = root / ".cache" / "whole"
    files = files_of(shipped_root()) | files_of(root)
    with in_turn(root):
        mirror(whole, {path: file.read_bytes() for path, file in files.items()})
    return Folders(root, whole, whole)


def project_or_none(root: Path) -> Folders:
    """Return the folders of the handbook at `root`, or with what the program brings alone where it holds none."""
    return project(root) if (root / "site_data").is_dir() else Folders(root, shipped_root(), shipped_root())


def files_of(root: Path) -> dict[str, Path]:
    """Return the files under `root` of the kinds that the program brings, by path.

    InputFaults for a link that leads out of it.
    """
    found = {}
    for part in BROUGHT:
        for file in (root / part, *sorted((root / part).rglob("*"))):
            path = file.relative_to(root).as_posix()
            if file.is_file() and not path.startswith(_LEFT) and not any(one[0] == "." for one in path.split("/")):
                found[path] = file
    home = root.resolve()
    faults = [
        Fault(path, 1, 1, FILE_KEY, "this is a link that leads out of the project", "a file of the project's own")
        for path, file in found.items()
        if file.is_symlink() and not file.resolve().is_relative_to(home)
    ]
    if faults:
        raise InputFaults(faults)
    return found


def replaced(root: Path) -> tuple[Replaced, ...]:
    """Return what the project at `root` replaces, in order of path. InputFaults where its record cannot be read."""
    shipped = shipped_root()
    if (root / _CHECKOUT).is_file():
        return ()
    noted, theirs = originals(root), files_of(shipped)
    own = {path: file for path, file in files_of(root).items() if path in theirs}
    return tuple(
        Replaced(path, noted[path] != digest(theirs[path]) if path in noted else None, _lost(path, theirs[path], file))
        for path, file in own.items()
        if digest(file) != digest(theirs[path])
    )


def _lost(path: str, theirs: Path, own: Path) -> tuple[str, ...]:
    """Return the ids of the notices that stand in the program's file and not in the project's."""
    if not path.startswith(SAFETY):
        return ()
    kept = set(_NOTICE.findall(own.read_bytes()))
    return tuple(id_.decode() for id_ in _NOTICE.findall(theirs.read_bytes()) if id_ not in kept)


def copied(root: Path, path: str) -> bool:
    """Copy the program's file to the project, and note which it was; return whether there was none there before.

    A file that the project has stays: it is noted as made from the program's of today.
    InputFaults for a path that the program does not bring.
    """
    theirs = files_of(shipped_root())
    if path not in theirs:
        wrong = f"the program brings no file '{path}'"
        near = sorted(one for one in theirs if one.rpartition("/")[2] == path.rpartition("/")[2])
        raise InputFaults([Fault(path, 1, 1, FILE_KEY, wrong, f"one such as {(near or sorted(theirs))[0]}")])
    new = not (root / path).exists()
    if new:
        write_if_changed(root / path, theirs[path].read_bytes())
    noted = {**originals(root), path: digest(theirs[path])}
    write_if_changed(root / ORIGINALS, (json.dumps(noted, indent=2, sort_keys=True) + "\n").encode())
    return new


def originals(root: Path) -> Mapping[str, str]:
    """Return the digests of the originals as noted, by path. InputFaults where that file is not what was written."""
    if not (root / ORIGINALS).is_file():
        return {}
    try:
        noted = json.loads((root / ORIGINALS).read_bytes())
    except ValueError:
        noted = None
    if not isinstance(noted, dict) or not all(isinstance(one, str) for one in noted.values()):
        wrong, expected = "this is not what the program wrote", "remove it, and run `handbook new file PATH` for each"
        raise InputFaults([Fault(ORIGINALS, 1, 1, FILE_KEY, wrong, expected)])
    return noted


def digest(file: Path) -> str:
    """Return the start of the SHA-256 of a file, which tells one version of it from another, however its lines end."""
    return hashlib.sha256(file.read_bytes().replace(b"\r\n", b"\n")).hexdigest()[:16]
