"""Which prints are still what would be set again, so that they are not: kept in the project's `.cache`.

Of each print there lies the hash of all that went into it, and that of the PDF that came of it. Safe to delete, and to
damage: what does not agree with it is set again.
"""

from __future__ import annotations

import datetime
import hashlib
import json
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from importlib.metadata import version
from pathlib import Path
from typing import Any

from generator import __version__
from generator.render.card import qr_code
from generator.render.files import write_if_changed
from generator.render.typesetter import creation_time

FOLDER = ".cache/prints"
_DIGITS = hashlib.sha256().digest_size * 2


@dataclass(frozen=True, slots=True)
class KeptPrints:
    """The hashes of the prints under `output`, in `folder`; `made_by` is that of what sets them, whatever the data."""

    folder: Path
    output: Path
    made_by: str

    def key(self, data: Mapping[str, Any], date: datetime.date) -> str:
        """Return the hash of all that goes into the PDF of `data` that is stamped with the time of a date."""
        return _hash(json.dumps([self.made_by, creation_time(date), data], ensure_ascii=False, default=repr).encode())

    def has(self, path: Path) -> bool:
        """Whether there is a print at `path`, and its hash, right or wrong."""
        return self._entry(path).is_file() and path.is_file()

    def note(self, path: Path, key: str) -> str | None:
        """Return what was noted of the print at `path` where it is still the one that was set of `key`; else None."""
        try:
            kept, pdf = self._entry(path).read_bytes(), path.read_bytes()
        except OSError:
            return None
        if kept[:_DIGITS].decode("latin-1") != _hash(kept[_DIGITS:]):
            return None
        made_of, came, note = json.loads(kept[_DIGITS:])
        return note if made_of == key and came == _hash(pdf) else None

    def keep(self, path: Path, key: str, pdf: bytes, *, note: str = "") -> None:
        """Note that the print at `path` is the PDF that was set of `key`, where the folder can be written to."""
        told = json.dumps([key, _hash(pdf), note]).encode()
        try:
            self._entry(path).parent.mkdir(parents=True, exist_ok=True)
            self._entry(path).write_bytes(_hash(told).encode() + told)  # half of it does not agree with its own hash
        except OSError:
            return  # the next run sets it again

    def printed(self, path: Path, data: Mapping[str, Any], date: datetime.date, *, make: Callable[[], bytes]) -> bool:
        """Have at `path` the PDF that `make` sets of `data`, where it is not there already; return whether it moved."""
        key = self.key(data, date)
        if self.note(path, key) is not None:
            return False
        pdf = make()
        moved = write_if_changed(path, pdf)
        self.keep(path, key, pdf)
        return moved

    def _entry(self, path: Path) -> Path:
        return self.folder / f"{path.relative_to(self.output).as_posix()}.json"


def kept_prints(root: Path, output: Path, templates: Path) -> KeptPrints:
    """Return the hashes of the prints under `output` of the project at `root`, set by `templates` (content/print)."""
    return KeptPrints(root / FOLDER / output.name, output, _hash(b"".join(_parts(templates))))


def _parts(templates: Path) -> Iterator[bytes]:
    """Yield what sets a print besides its data: program, libraries, templates, fonts and pictures."""
    yield "/".join((__version__, version("typst"), version("segno"))).encode()
    for source in (Path(__file__).with_name("typesetter.py"), Path(qr_code.__file__)):
        yield source.read_bytes()
    for folder in (templates, templates.parent / "assets"):
        for path in sorted(folder.rglob("*")):
            if path.is_file():
                yield path.relative_to(folder.parent).as_posix().encode() + _hash(path.read_bytes()).encode()


def _hash(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
