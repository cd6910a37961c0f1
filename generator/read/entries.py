"""Puts an entry into a list of a YAML file that people write too: every other line, comments and all, stays."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from generator.errors import InputFaults
from generator.read.yaml.validate import Model, validate
from generator.read.yaml.yaml_marks import Document, parse


def with_entry(path: Path, key: str, entry: str, *, head: str, model: type[Model]) -> str:
    """Return the text of a file with the line `entry` behind the last of the list at `key`, which is made if missing.

    A file that is not there begins with the line `head`. InputFaults where the file, or what would become of it, is no
    `model`.
    """
    text, document, name = f"{head}\n", None, "/".join(path.parts[-3:])
    if path.exists():
        text = path.read_text(encoding="utf-8")
        document, faults = parse(text.encode(), name)
        if faults:
            raise InputFaults(faults)
    lines = text.rstrip("\n").split("\n")
    place, indent = _place(document, key, lines)
    made = [f"{indent}- {entry}"] if indent is not None else [f"{key}:", f"  - {entry}"]
    changed = "\n".join([*lines[:place], *made, *lines[place:]]) + "\n"
    _refuse_unfit(changed, name, model)
    return changed


def _place(document: Document | None, key: str, lines: list[str]) -> tuple[int, str | None]:
    """Return the line to put an entry before, counted from 0, and its indent; none where there is no such list yet."""
    data: Any = document.data if document else None
    entries = data.get(key) if isinstance(data, dict) else None
    if not document or not isinstance(entries, list) or not entries:
        return len(lines), None
    line = document.values[key, len(entries) - 1][0] - 1
    start = lines[line].index("- ") if "- " in lines[line] else 2
    end = line + 1
    while end < len(lines) and lines[end][: start + 1].isspace():
        end += 1
    return end, " " * start


def _refuse_unfit(text: str, name: str, model: type[Model]) -> None:
    """Refuse a text that is no `model`, with its places, before anything is written."""
    document, faults = parse(text.encode(), name)
    if document:
        _, more = validate(document, model, name)
        faults = [*faults, *more]
    if faults:
        raise InputFaults(faults)
