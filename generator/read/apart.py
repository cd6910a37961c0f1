"""A handbook whose sites are read one by one, each when it is asked for: so many need not stand in memory at once."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from itertools import chain
from pathlib import Path

from generator.errors import CannotCompute, Fault, InputFaults
from generator.model.inputs import Inputs, shared_by
from generator.model.site import Site
from generator.read.fleets import read_fleets
from generator.read.handbook import absent, load_of, reached, read_frame, read_kept
from generator.read.references import Named, id_faults, sharing_faults, site_faults
from generator.read.yaml.folder import yaml_files
from generator.read.yaml.yaml_file import Places, YamlFile, content_of

_ID, _SOURCE = re.compile(rb"\bid\b"), re.compile(rb"\bsource\b")
_COMPARED = (("id",), ("supply", "panel"), ("water", "source"))  # of sites that share: see `sharing_faults`


@dataclass(slots=True)
class Apart:
    """A handbook whose sites are read one by one.

    `inputs`: all but the sites on which no other rests. `ids`: of every site, in order; `by_id`: the file of each that
    has its own; `faults`: what was wrong with those read so far.
    """

    inputs: Inputs
    ids: tuple[str, ...]
    by_id: Mapping[str, Path]
    known: Named
    faults: list[Fault] = field(default_factory=list)

    def sites(self, ids: Iterable[str]) -> Iterator[Site]:
        """Yield the sites with these ids, each read as it is asked for; one with a fault is left out."""
        first = {site.id: site for site in self.inputs.sites}
        for id_ in ids:
            if id_ in first:
                yield first[id_]
                continue
            file = self._read(id_)
            faults = [*file.faults, *id_faults([file]), *site_faults(file, self.known)]
            self.faults += faults
            if file.value and not faults:
                assert not any(shared_by(file.value)), f"{file.name} was not read first"
                yield reached(file.value, self.inputs.settings)

    def fault(self, id_: str, refusal: CannotCompute) -> Fault:
        """Return why a site cannot be computed as a fault at its place."""
        inputs = self.inputs
        if id_ in self.by_id:
            inputs = replace(inputs, places=Places("site", [self._read(id_)]))
        return inputs.fault(("site", id_), refusal)

    def _read(self, id_: str) -> YamlFile[Site]:
        path = self.by_id[id_]
        return load_of(path, Site, path.parents[2])


def read_apart(folder: Path, tables: Path | None = None) -> Apart:
    """Return a handbook whose sites are read one by one; InputFaults for whatever bears on more than one of them.

    That is all but the sites, and those first that may share a panel or a water source with others, that have readings
    or a register, or that stand in a table.
    """
    folder, root = folder.resolve(), folder.resolve().parent
    if not folder.is_dir():
        raise InputFaults((absent(folder),))
    frame = read_frame(folder, tables.resolve() if tables else folder)
    paths, site_file_faults = yaml_files(folder / "sites", root)
    listed, more = read_fleets(folder / "fleets", root)
    named = {file.stem for file in listed} | {
        path.stem
        for kind in ("readings", "installed")
        if (folder / kind).is_dir()
        for path in (folder / kind).iterdir()
    }
    own, own_faults = _read_first(paths, root, named, known=frame.known)
    first, stems = [*own, *listed], [path.stem for path in paths]
    by_stem = dict.fromkeys(stems) | {file.stem: file.value for file in first}
    kept = read_kept(folder, root, by_stem, models=frame.known.models)
    faults = [*frame.common, *frame.model_faults, *site_file_faults, *more, *frame.rule_faults, *kept.faults]
    faults += [*own_faults, *id_faults(frame.models), *id_faults(first), *sharing_faults(first)]
    faults += chain.from_iterable(site_faults(file, frame.known) for file in listed)
    inputs = None if faults else frame.inputs(first, kept, at_fault=())
    if inputs is None:
        raise InputFaults(faults)
    inputs = replace(inputs, places=frame.places(listed, kept))  # those of files are read again where one is asked for
    return Apart(inputs, tuple(by_stem), {path.stem: path for path in paths}, frame.known)


def _read_first(
    paths: Iterable[Path], root: Path, named: Collection[str], *, known: Named
) -> tuple[list[YamlFile[Site]], list[Fault]]:
    """Return the sites that share a panel or a water source or are `named`, and every fault of a file that may be one.

    Of their documents no more is kept than what is compared between them: the rest took most of the memory.
    """
    first: list[YamlFile[Site]] = []
    faults: list[Fault] = []
    for path in paths:
        if path.stem in named or may_share(content_of(path, path.relative_to(root).as_posix())):
            file = load_of(path, Site, root)
            faults += [*file.faults, *site_faults(file, known)]
            if file.value and (path.stem in named or any(shared_by(file.value))):
                first.append(replace(file, document=file.document.of(_COMPARED) if file.document else None))
    return first, faults


def may_share(content: bytes | Fault) -> bool:
    """Return whether the file of a site may name a panel or a water source, from its bytes: none does without a second
    `id`, or a backslash, with which it could be written otherwise. A file that cannot be read may, and one that speaks
    of a source."""
    if isinstance(content, Fault) or b"\\" in content:
        return True
    return len(_ID.findall(content)) > 1 or _SOURCE.search(content) is not None
