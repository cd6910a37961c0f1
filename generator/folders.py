"""Where a handbook project keeps what it is made of, and where what the program brings is found."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

PACKED = "shipped"  # the folder of the installed package that holds what the program brings


@dataclass(frozen=True, slots=True)
class Folders:
    """The folders of a handbook project, from its root.

    `words`: the root that content/ and mkdocs.yml are taken from, `lookup` that of the tables, where it is another.
    """

    root: Path
    words: Path | None = None
    lookup: Path | None = None

    @property
    def data(self) -> Path:
        """What a writer edits: models, sites, readings, settings; here releases and schemas are written."""
        return self.root / "site_data"

    @property
    def tables(self) -> Path:
        """The tables of codes, pipes, burns and usual values."""
        return (self.lookup or self.root) / "site_data"

    @property
    def content(self) -> Path:
        """What a writer words: pages, notices, fault finding, print templates."""
        return (self.words or self.root) / "content"

    @property
    def config(self) -> Path:
        """The plain configuration of the site engine."""
        return (self.words or self.root) / "mkdocs.yml"

    @property
    def output(self) -> Path:
        """What the build writes."""
        return self.root / "build"


def shipped_root() -> Path:
    """Return the root of what the program brings: in the installed package, or the checkout that it runs from."""
    package = Path(__file__).parent
    packed = package / PACKED
    return packed if packed.is_dir() else package.parent
