"""JSON files: results.json with one line an entry, so that two compare line by line; schemas indented."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import Any


def results_bytes(document: Mapping[str, Any]) -> bytes:
    """Return the results document as JSON, each entry of its sections on a line of its own."""
    return ("{\n" + ",\n".join(_sections(document)) + "\n}\n").encode()


def pretty_bytes(document: Mapping[str, Any]) -> bytes:
    """Return a document as indented JSON."""
    return (json.dumps(document, ensure_ascii=False, indent=2) + "\n").encode()


def _sections(document: Mapping[str, Any]) -> Iterator[str]:
    for key, section in document.items():
        if isinstance(section, dict) and section:
            entries = ",\n".join(f" {_json(name)}: {_json(entry)}" for name, entry in section.items())
            yield f"{_json(key)}: {{\n{entries}\n}}"
        else:
            yield f"{_json(key)}: {_json(section)}"


_json = json.JSONEncoder(ensure_ascii=False).encode
