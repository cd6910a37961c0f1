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
JUDGED = ("stages", "flow", "inlet", "outlet")  # without one of these a reading is a note
READS = (*JUDGED, "volts", "pressure")
_FORMS: Mapping[str, str] = {
    **{what: f"{what} SITE CODE [DATE]" for what in HANGS},
    READING: "reading SITE [DATE] flow 1.40 gpm, outlet 99 degF",
    NEAR_MISS: "near-miss SITE [DATE] what happened",
}


@dataclass(frozen=True, slots=True)
class Received:
    """What became of a line: the file it went into, or why it was refused; neither where it stood there already.

    `lacks`: what a reading would need besides to be judged.
    """

    line: str
    path: Path | None = None
    refused: str = ""
    lacks: tuple[str, ...] = ()

    @property
    def is_reading(self) -> bool:
        """Whether it is a reading."""
        return _kind(self.line) == READING


def received(
    data: Path,
    lines: Mapping[int, str],
    sites: Collection[str],
    *,
    today: datetime.date,
    stages: Mapping[str, int] | None = None,
) -> Iterator[Received]:
    """Put each line into the register of its site, in order, and yield what became of it.

    `stages`: by site how many its heater has; a reading with more is refused.
    """
    for line in lines.values():
        try:
            given = _given(line)
            path = _put(data, line, sites, today=today, stages=stages or {})
            yield Received(line, path, lacks=tuple(name for name in JUDGED if name not in given))
        except HandbookError as refused:
            yield Received(line, refused=str(refused))


def _kind(line: str) -> str:
    return line.strip().partition(" ")[0].lower().rstrip(":")


def _given(line: str) -> Mapping[str, str]:
    """Return what a reading gives, by name; nothing of another line, and of one that will be refused."""
    *_, rest = (*line.strip().split(" ", 2), "", "")[:3]
    parts = (one.split(maxsplit=1) for one in re.split("[,;]", _undated(rest)[1])) if _kind(line) == READING else ()
    return {name: value for name, *values in parts for value in values}


def _put(
    data: Path, line: str, sites: Collection[str], *, today: datetime.date, stages: Mapping[str, int]
) -> Path | None:
    kind, rest = _kind(line), line.strip().partition(" ")[2]
    if kind not in _FORMS:
        raise HandbookError("; ".join(unknown(kind, "a kind of line", _FORMS)))
    site, _, rest = rest.strip().partition(" ")
    if site not in sites:
        raise HandbookError("; ".join(unknown(site, "a site", sites)))
    most, told = stages.get(site), _given(line).get("stages", "")
    if most is not None and told.isdecimal() and int(told) > most:
        raise HandbookError(f"the heater of {site} has no stage {told}; write stages from 1 to {most}")
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
    stated, told = _undated(rest)
    day = stated or today.isoformat()
    if not told:
        raise HandbookError(f"nothing is said behind the site; write {_FORMS[kind]}")
    if kind in HANGS:
        return "hangs", f"{{what: {kind}, code: {_quoted(told)}, since: {day}}}"
    if kind == NEAR_MISS:
        return "near_misses", f"{{date: {day}, what: {_quoted(told)}}}"
    return "readings", f"{{date: {day}, {', '.join(_reads(told))}}}"


def _undated(rest: str) -> tuple[str, str]:
    """Return the day that stands in a line, empty where none does, and the rest without it."""
    found = re.search(r"(?<!\S)\d{4}-\d{2}-\d{2}(?!\S)", rest)
    told = rest.replace(found[0], "", 1) if found else rest
    return found[0] if found else "", " ".join(told.split())


def _reads(told: str) -> Iterator[str]:
    for part in filter(None, (one.strip() for one in re.split("[,;]", told))):
        name, _, value = part.partition(" ")
        if name not in READS:
            raise HandbookError("; ".join(unknown(name, "a thing that is read", READS)))
        yield f"{name}: {_quoted(value)}"


def _quoted(text: str) -> str:
    """Return a text as it may stand in YAML, whatever was sent."""
    return json.dumps(text, ensure_ascii=False)
