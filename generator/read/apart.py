"""A handbook whose sites are read one by one, each when it is asked for: so many need not stand in memory at once."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from generator.errors import CannotCompute, Fault, InputFaults
from generator.model.inputs import Inputs, shared_by
from generator.model.site import Site
from generator.read.fleets import read_fleets
from generator.read.handbook import absent, load_site, reached, read_frame, read_kept, site_files
from generator.read.references import Named, Sharing, id_faults, site_faults
from generator.read.yaml.yaml_file import Places, YamlFile, content_of

_ID, _SOURCE = re.compile(rb"\bid\b"), re.compile(rb"\bsource\b")
_COMPARED = (("id",), ("supply", "panel"), ("water", "source"))  # of sites that share: see `Sharing`


@dataclass(slots=True)
class Apart:
    """A handbook whose sites are read one by one.

    `folder`: site_data/; `inputs`: all but the sites that have a file of their own. `ids`: of every site, in order;
    `by_id`: those files; `sharing`: the sites by the panel or the water source that they name, see `shared_by`;
    `faults`: what was wrong with those read so far.
    """

    folder: Path
    inputs: Inputs
    ids: tuple[str, ...]
    by_id: Mapping[str, Path]
    sharing: Mapping[tuple[str, str], list[str]]
    known: Named
    faults: list[Fault] = field(default_factory=list)

    def sites(self, ids: Iterable[str]) -> Iterator[Site]:
        """Yield the sites with these ids, each read as it is asked for; one with a fault is left out."""
        listed = {site.id: site for site in self.inputs.sites}
        for id_ in ids:
            if id_ in listed:
                yield listed[id_]
                continue
            file = self._read(id_)
            faults = [*file.faults, *id_faults([file]), *site_faults(file, self.known)]
            self.faults += faults
            if file.value and not faults:
                assert all(id_ in self.sharing[one] for one in shared_by(file.value)), f"{file.name} was not read first"
                yield reached(file.value, self.inputs.settings)

    def beside(self, *sites: Site) -> tuple[Site, ...]:
        """Return all sites that name a panel or a water source of one of these, as `Inputs.beside` does."""
        near = {id_ for site in sites for named in shared_by(site) for id_ in self.sharing[named]}
        known, order = {site.id: site for site in sites}, {id_: place for place, id_ in enumerate(self.ids)}
        known |= {site.id: site for site in self.sites(near - known.keys())}
        return tuple(known[id_] for id_ in sorted(near, key=order.__getitem__))

    def fault(self, id_: str, refusal: CannotCompute) -> Fault:
        """Return why a site cannot be computed as a fault at its place."""
        inputs = self.inputs
        if id_ in self.by_id:
            inputs = replace(inputs, places=Places("site", [self._read(id_)]))
        return inputs.fault(("site", id_), refusal)

    def _read(self, id_: str) -> YamlFile[Site]:
        return load_site(self.by_id[id_], self.folder)


def read_apart(folder: Path, tables: Path | None = None) -> Apart:
    """Return a handbook whose sites are read one by one; InputFaults for whatever bears on more than one of them.

    That is all but the sites, and those that may share a panel or a water source with others, that have readings or a
    register, whose file has the name of another, or that stand in a table.
    """
    folder, root = folder.resolve(), folder.resolve().parent
    if not folder.is_dir():
        raise InputFaults((absent(folder),))
    frame = read_frame(folder, tables.resolve() if tables else folder)
    paths, site_file_faults = site_files(folder)
    listed, more = read_fleets(folder / "fleets", root)
    kinds = [folder / kind for kind in ("readings", "installed") if (folder / kind).is_dir()]
    named = {file.stem for file in listed} | {path.stem for kind in kinds for path in kind.iterdir()}
    named |= {stem for stem, times in Counter(path.stem for path in paths).items() if times > 1}
    first = _First(frame.known)
    own = [file for path in paths if (file := first.read(path, folder, path.stem in named))]
    for file in listed:
        first.take(file)
    by_stem = {path.stem: None for path in paths} | {file.stem: file.value for file in [*own, *listed]}
    kept = read_kept(folder, root, by_stem, models=frame.known.models)
    faults = [*frame.common, *frame.model_faults, *site_file_faults, *more, *frame.rule_faults, *kept.faults]
    faults += [*first.faults, *id_faults(frame.models), *id_faults([*own, *listed])]
    inputs = None if faults else frame.inputs(listed, kept, at_fault=())
    if inputs is None:
        raise InputFaults(faults)
    return Apart(folder, inputs, tuple(by_stem), {path.stem: path for path in paths}, first.sharing, frame.known)


@dataclass(slots=True)
class _First:
    """The sites that are looked at before any is judged: who shares what, and their faults; no site is kept."""

    known: Named
    stated: Sharing = field(default_factory=Sharing)
    sharing: dict[tuple[str, str], list[str]] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)

    def read(self, path: Path, folder: Path, named: bool) -> YamlFile[Site] | None:
        """Look at a file, unless it is not `named` and cannot share anything; return one that is named."""
        if not (named or may_share(content_of(path, path.relative_to(folder.parent).as_posix()))):
            return None
        file = load_site(path, folder)
        self.faults += [*file.faults, *(() if named else id_faults([file]))]
        self.take(file)
        return replace(file, document=file.document.of(_COMPARED) if file.document else None) if named else None

    def take(self, file: YamlFile[Site]) -> None:
        """Note what a site shares, and what is wrong with what it names."""
        self.faults += site_faults(file, self.known)
        if file.value:
            for one in shared_by(file.value):
                self.sharing.setdefault(one, []).append(file.stem)
            light = replace(file, document=file.document.of(_COMPARED)) if file.document else file
            self.faults += self.stated.faults(light)


def may_share(content: bytes | Fault) -> bool:
    """Return whether the file of a site may name a panel or a water source, from its bytes: none does without a second
    `id`, or a backslash, with which it could be written otherwise. A file that cannot be read may, and one that speaks
    of a source."""
    if isinstance(content, Fault) or b"\\" in content:
        return True
    return len(_ID.findall(content)) > 1 or _SOURCE.search(content) is not None
