"""The registers of the sites, written to: which card hangs where, and what people in the field send in short lines.

A line is one of

    card SITE CODE [DATE]                     the card with this code hangs there (also: panel-label, heater-label)
    reading SITE [DATE] flow 1.40 gpm, outlet 99 degF, …     also inlet, volts, pressure, stages
    near-miss SITE [DATE] what happened
"""

from __future__ import annotations

import datetime
import json
import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from generator.errors import HandbookError, InputFaults
from generator.model.register.installed import Installed
from generator.read.entries import with_entry
from generator.read.installed import FOLDER
from generator.read.yaml.fault_words import unknown
from generator.render.files import write_if_changed

HEAD = "# yaml-language-server: $schema=../schema/installed.schema.json"
HANGS, READING, NEAR_MISS = ("card", "panel-label", "heater-label"), "reading", "near-miss"
READS = ("stages", "flow", "inlet", "outlet", "volts", "pressure")
_FORMS: Mapping[str, str] = {
    **{what: f"{what} SITE CODE [DATE]" for what in HANGS},
    READING: "reading SITE [DATE] flow 1.40 gpm, outlet 99 degF",
    NEAR_MISS: "near-miss SITE [DATE] what happened",
}


@dataclass(frozen=True, slots=True)
class Received:
    """What became of a line: the file it went into, or why it was refused; neither where it stood there already."""

    line: str
    path: Path | None = None
    refused: str = ""


def received(
    data: Path, lines: Mapping[int, str], sites: Collection[str], *, today: datetime.date
) -> Iterator[Received]:
    """Put each line into the register of its site, in order, and yield what became of it."""
    for line in lines.values():
        try:
            yield Received(line, _put(data, line, sites, today=today))
        except HandbookError as refused:
            yield Received(line, refused=str(refused))


def _put(data: Path, line: str, sites: Collection[str], *, today: datetime.date) -> Path | None:
    kind, _, rest = line.strip().partition(" ")
    kind = kind.lower().rstrip(":")
    if kind not in _FORMS:
        raise HandbookError("; ".join(unknown(kind, "a kind of line", _FORMS)))
    site, _, rest = rest.strip().partition(" ")
    if site not in sites:
        raise HandbookError("; ".join(unknown(site, "a site", sites)))
    key, entry = _entry(kind, rest.strip(), today)
    path = data / FOLDER / f"{site}.yaml"
    if path.exists() and f"- {entry}\n" in path.read_text(encoding="utf-8"):
        return None
    try:
        text = with_entry(path, key, entry, head=HEAD, model=Installed)
    except InputFaults as faults:
        raise HandbookError("; ".join(f"{one.key}: {one.wrong}; {one.expected}" for one in faults.faults)) from None
    write_if_changed(path, text.encode())
    return path


def _entry(kind: str, rest: str, today: datetime.date) -> tuple[str, str]:
    """Return the key of the list that a line belongs into, and its entry there. HandbookError for another form."""
    found = re.search(r"(?<!\S)\d{4}-\d{2}-\d{2}(?!\S)", rest)
    day, told = (found[0] if found else today.isoformat()), rest.replace(found[0], "", 1) if found else rest
    told = " ".join(told.split())
    if not told:
        raise HandbookError(f"nothing is said behind the site; write {_FORMS[kind]}")
    if kind in HANGS:
        return "hangs", f"{{what: {kind}, code: {_quoted(told)}, since: {day}}}"
    if kind == NEAR_MISS:
        return "near_misses", f"{{date: {day}, what: {_quoted(told)}}}"
    return "readings", f"{{date: {day}, {', '.join(_reads(told))}}}"


def _reads(told: str) -> Iterator[str]:
    for part in filter(None, (one.strip() for one in re.split("[,;]", told))):
        name, _, value = part.partition(" ")
        if name not in READS:
            raise HandbookError("; ".join(unknown(name, "a thing that is read", READS)))
        yield f"{name}: {_quoted(value)}"


def _quoted(text: str) -> str:
    """Return a text as it may stand in YAML, whatever was sent."""
    return json.dumps(text, ensure_ascii=False)
