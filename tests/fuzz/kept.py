"""What a slip does not concern is kept as it was without it: the other files, the other pages.

All of a slipped file is read, everything that is accepted is computed, and what shows it is rendered.
"""

import dataclasses
import sys
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from generator.assemble.documents import Book, ModelView, SiteView
from generator.assemble.pages import Page
from generator.model.inputs import Inputs
from generator.read.yaml import yaml_file
from generator.render.pages import bundle, write


def same(one: Inputs, other: Inputs) -> bool:
    """Whether two inputs are alike, wherever their values stand: what follows from them is then alike too."""
    fields = (field.name for field in dataclasses.fields(Inputs) if field.name != "places")
    return all(getattr(one, name) == getattr(other, name) for name in fields)


def read_files_once(patch: pytest.MonkeyPatch) -> None:
    """Read each file as it stands at first once; again whenever a byte of it is another."""
    known: dict[tuple[Path, type, str], tuple[bytes, Any]] = {}
    load = yaml_file.load_yaml_file

    def loaded(file: Path, model: type, name: str) -> Any:
        if not file.is_file():
            return load(file, model, name)
        key, data = (file, model, name), file.read_bytes()
        if key not in known:
            known[key] = data, load(file, model, name)
        return known[key][1] if known[key][0] == data else load(file, model, name)

    for module in [one for name, one in sys.modules.items() if name.startswith("generator.")]:
        if getattr(module, "load_yaml_file", None) is load:
            patch.setattr(module, "load_yaml_file", loaded)


class PagesKept:
    """The pages of a handbook as first rendered, from which those are taken that a slip does not concern."""

    def __init__(self, patch: pytest.MonkeyPatch) -> None:
        self._known: dict[tuple[str, str], str] = {}
        self._sound: Book | None = None
        self._render = write.render_page
        patch.setattr(write, "render_page", self._rendered)
        patch.setattr(bundle, "html_of", cache(bundle.html_of))

    def concern(self, sound: Book | None) -> None:
        """From now on render what shows a model or site that is not as in the `sound` book; all without one."""
        self._sound = sound

    def _concerned(self, page: Page, names: Mapping[str, Any]) -> bool:
        sound = self._sound
        if sound is None or names["settings"] != sound.settings:
            return True
        own = (page.subject,) if isinstance(page.subject, ModelView | SiteView) else ()
        views = names["sites"] if _is_alone(names) else own
        return any(view not in (*sound.models, *sound.sites) for view in views)

    def _rendered(self, templates: Any, page: Page, names: Mapping[str, Any], **more: Any) -> str:
        key = page.id, _is_alone(names)
        if key in self._known and not self._concerned(page, names):
            return self._known[key]
        text = self._render(templates, page, names, **more)
        self._known.setdefault(key, text)
        return text


def _is_alone(names: Mapping[str, Any]) -> str:
    """The id of the site for which alone a page is made, inside its pocket page; "" where for all."""
    sites: tuple[SiteView, ...] = names["sites"]
    return sites[0].spec.id if len(sites) == 1 else ""
