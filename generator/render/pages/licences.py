"""The licences of what the handbook carries besides its own words: theme, icons, search, fonts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from importlib import metadata
from importlib.resources import files
from pathlib import Path
from typing import Literal

from generator.errors import PageFault

What = Literal["theme", "icons", "engine", "search", "code", "text font", "sign font"]
THEME = "mkdocs-material"


@dataclass(frozen=True, slots=True)
class Licence:
    """What is carried, its name and version, and the text of its licence."""

    what: What
    name: str
    text: str

    @property
    def parts(self) -> tuple[str, ...]:
        """The paragraphs of the text, each on one line."""
        return tuple(" ".join(part.split()) for part in self.text.split("\n\n") if part.strip())


@cache
def licences(content: Path) -> tuple[Licence, ...]:
    """Return the licences, from the metadata of the packages and the texts that stand beside fonts and scripts."""
    return tuple(_licences(content))


def _licences(content: Path) -> Iterator[Licence]:
    yield Licence("theme", f"{THEME} {metadata.version(THEME)}", _of_package(THEME))
    icons = files("material") / "templates" / ".icons" / "material" / "LICENSE"
    yield Licence("icons", "Material Design Icons", icons.read_text(encoding="utf-8").strip())
    yield Licence("engine", f"mkdocs {metadata.version('mkdocs')}", _of_package("mkdocs"))
    yield Licence("search", "MiniSearch, stemmer", _head(content / "assets" / "search-library.js"))
    yield Licence("code", "lean-qr", _head(content / "assets" / "pocket" / "qr-library.js"))
    yield Licence("text font", "Fira Sans", _beside(content / "print" / "fonts" / "FiraSans-LICENSE.txt"))
    yield Licence("sign font", "DejaVu Sans", _beside(content / "print" / "fonts" / "DejaVuSans-LICENSE.txt"))


def _of_package(name: str) -> str:
    """Return the text of a package's licence as its metadata carries it."""
    return (metadata.distribution(name).read_text("licenses/LICENSE") or "").strip()


def _head(script: Path) -> str:
    """Return the comment at the head of a script."""
    comment, _, _ = _beside(script).removeprefix("/*!").partition("*/")
    return comment.strip()


def _beside(path: Path) -> str:
    """Return a text that stands beside what it is for. PageFault where it is not there, as in an older revision."""
    try:
        return path.read_text(encoding="utf-8").strip()
    except OSError as error:
        name = f"{path.parent.name}/{path.name}"
        raise PageFault(f"{name}: this cannot be read: {error.strerror}; the licence that it comes with") from None
