"""JSON files: results.json with one line an entry, so that two compare line by line; schemas indented."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from io import BytesIO
from typing import Any


def results_bytes(document: Mapping[str, Any]) -> bytes:
    """Return the results document as JSON, each entry of its sections on a line of its own.

    It is put together piece by piece: that of many sites fills memory once.
    """
    made = BytesIO()
    for piece in _pieces(document):
        made.write(piece.encode())
    return made.getvalue()


def pretty_bytes(document: Mapping[str, Any]) -> bytes:
    """Return a document as indented JSON."""
    return (json.dumps(document, ensure_ascii=False, indent=2) + "\n").encode()


def _pieces(document: Mapping[str, Any]) -> Iterator[str]:
    before = "{\n"
    for key, section in document.items():
        if isinstance(section, dict) and section:
            yield f"{before}{_json(key)}: {{\n"
            before = ""
            for name, entry in section.items():
                yield f"{before} {_json(name)}: {_json(entry)}"
                before = ",\n"
            yield "\n}"
        else:
            yield f"{before}{_json(key)}: {_json(section)}"
        before = ",\n"
    yield "\n}\n"


_json = json.JSONEncoder(ensure_ascii=False).encode
