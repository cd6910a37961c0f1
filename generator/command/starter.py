"""The beginning of a handbook, of a model, a site or a rule: commented files with values that read and compute."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Callable
from pathlib import Path

from generator.errors import HandbookError
from generator.folders import PACKED, shipped_root
from generator.model.inputs import Inputs
from generator.model.scalars import ID
from generator.model.settings import ENGLISH
from generator.render.by_language import usual_paper
from generator.render.files import remove_leftovers, write_if_changed

KINDS = {"model": "models", "site": "sites", "rule": "rules"}
FIRST = {"model": "first-heater", "site": "first-site"}
MODEL_ID = "new-model"  # what the starter's site names
_DEMO = "tests/demo/site_data"  # in a checkout


def begin(folder: Path, name: str, contact: str, *, language: str = ENGLISH) -> tuple[Path, ...]:
    """Write a handbook of one model and one site, with its settings; return the files.

    In another language than English it has a folder for the words of that.

    HandbookError where the folder holds one already.
    """
    settings = _text("handbook").replace("New publisher", _quoted(name)).replace("New contact", _quoted(contact))
    settings = settings.replace("language: en\n", f"language: {language}\n").replace(
        "paper: letter  # or a4", f"paper: {usual_paper(language)}  # letter or a4"
    )
    words = folder / "content" / language / "words" / "states.yaml"

    def write(data: Path) -> None:
        _written(data / "handbook.yaml", settings)
        for kind, id_ in FIRST.items():
            add(data, kind, id_, heater=FIRST["model"])

    data = _begun(folder, write)
    if language != ENGLISH and not words.exists():
        _written(words, _text("language"))
    return (
        data / "handbook.yaml",
        *(data / KINDS[kind] / f"{id_}.yaml" for kind, id_ in FIRST.items()),
        folder / ".gitignore",
        *((words,) if language != ENGLISH else ()),
    )


def begin_demo(folder: Path) -> Path:
    """Copy the demo, a handbook of invented heaters and sites; return its data. HandbookError as for `begin`."""
    root = shipped_root()
    demo = root / "demo" if root.name == PACKED else root / _DEMO

    def copy(data: Path) -> None:
        for file in sorted(path for path in demo.rglob("*") if path.is_file() and not _is_linked(path, demo)):
            (data / file.relative_to(demo)).parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(file, data / file.relative_to(demo))

    return _begun(folder, copy)


def _begun(folder: Path, write: Callable[[Path], None]) -> Path:
    """Have `write` fill the data of a new handbook, which are there when all of them are; return their folder."""
    data, staged = folder / "site_data", folder / ".site_data.staged"
    if data.exists():
        raise HandbookError(f"{folder} holds a handbook already; name a new folder, or an empty one")
    remove_leftovers(folder)  # of a run that was killed
    shutil.rmtree(staged, ignore_errors=True)
    try:
        write(staged)
        _written(folder / ".gitignore", (_starter() / "gitignore").read_text(encoding="utf-8"))
        staged.rename(data)
    finally:
        shutil.rmtree(staged, ignore_errors=True)
    return data


def add(data: Path, kind: str, id_: str, *, heater: str = MODEL_ID) -> Path:
    """Write the file of a new model, site or rule under `data` (site_data/), a site on the model `heater`; return it.

    HandbookError for an id that is none, or stands already.
    """
    if not re.fullmatch(ID.pattern, id_):
        raise HandbookError(f"'{id_}' is no id; {ID.expected}")
    title = id_.replace("-", " ").capitalize()
    text = _text(kind).replace(f"New {kind}", title).replace(f"new-{kind}", id_).replace(MODEL_ID, heater)
    path = data / KINDS[kind] / f"{id_}.yaml"
    if path.exists():
        raise HandbookError(f"{path} stands already; choose another id, or edit that file")
    return _written(path, text)


def examples(inputs: Inputs) -> tuple[str, ...]:
    """Return the files of models and sites whose summary still is that of the starter, which stands on its values."""
    kept = {kind: re.search(r"^summary: (.+)$", _text(kind), re.MULTILINE) for kind in ("model", "site")}
    found = [("model", one.id, one.summary) for one in inputs.models]
    found += [("site", one.id, one.summary) for one in inputs.sites]
    left = ((kind, id_, "summary") for kind, id_, said in found if (example := kept[kind]) and said == example[1])
    return tuple(dict.fromkeys(inputs.nearest(place).file for place in left))


def _starter() -> Path:
    return shipped_root() / "content" / "starter"


def _text(kind: str) -> str:
    return (_starter() / f"{kind}.yaml").read_text(encoding="utf-8")


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)


def _written(path: Path, text: str) -> Path:
    write_if_changed(path, text.encode())
    return path


def _is_linked(path: Path, top: Path) -> bool:
    return any(one.is_symlink() for one in (path, *path.parents) if one.is_relative_to(top) and one != top)
