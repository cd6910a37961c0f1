"""Every text that compute says, found in the calls of `say`: nothing lists them a second time."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator, Mapping
from pathlib import Path

from generator import compute
from generator.model.finding_rules import Names

COMPUTE = Path(compute.__file__).parent
ROOT_ROOM = "general"  # of the modules that stand in no folder of compute
_CALL = re.compile(r"\bsay\(")


def said_texts(folder: Path = COMPUTE) -> Mapping[str, Names]:
    """Return by room (folder of compute) the keys said there, each with the names of its values.

    ValueError for a key that is not written out, has other values elsewhere, or is said in two rooms.
    """
    rooms: dict[str, dict[str, tuple[str, ...]]] = {}
    owners: dict[str, str] = {}
    for path in sorted(folder.rglob("*.py")):
        parts = path.relative_to(folder).parts
        room = parts[0] if parts[1:] else ROOT_ROOM
        for key, values in _calls(path.read_text(encoding="utf-8")):
            known = rooms.setdefault(room, {}).setdefault(key, values)
            if known != values or owners.setdefault(key, room) != room:
                raise ValueError(f"{path}: '{key}' is said with other values, or in another room, too")
    return rooms


def _calls(source: str) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Yield key and sorted names of values of each call. The module as a whole is not parsed: that takes long."""
    for found in _CALL.finditer(source):
        call = _call_at(source, found.start())
        key = call.args[0] if call.args else None
        names = [one.arg for one in call.keywords]
        if not isinstance(key, ast.Constant) or not isinstance(key.value, str) or None in names:
            raise ValueError(f"key and names of values are not written out in {ast.unparse(call)}")
        yield key.value, tuple(sorted(filter(None, names)))


def _call_at(source: str, start: int) -> ast.Call:
    """Return the call that starts at a place: the shortest text from there that is an expression."""
    end = source.find(")", start)
    while end >= 0:
        try:
            call = ast.parse(source[start : end + 1], mode="eval").body
        except SyntaxError:
            end = source.find(")", end + 1)
            continue
        assert isinstance(call, ast.Call)
        return call
    raise ValueError(f"no call ends behind {source[start : start + 40]!r}")
