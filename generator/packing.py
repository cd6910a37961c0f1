"""How the installed package comes by what the program brings: the build of a wheel copies it into the package."""

from __future__ import annotations

import shutil
from pathlib import Path

from setuptools.command.build_py import build_py

PACKED = "shipped"  # as `generator.folders` names it, which a build must not import
# What a handbook needs besides Python, and the demo as it is frozen for the tests.
BROUGHT = {"content": "content", "site_data": "site_data", "mkdocs.yml": "mkdocs.yml", "tests/demo/site_data": "demo"}
# By whoever builds.
WRITTEN = (
    "handbook.yaml",
    "models",
    "sites",
    "rules",
    "readings",
    "installed",
    "revisions",
    "schema",
)  # by whoever builds
READ_HERE = "content/readme"


class Packed(build_py):
    """Copies what the program brings into `generator/shipped/`."""

    def run(self) -> None:
        """Build the package, and add to it; an editable install reads the checkout."""
        shutil.rmtree(self.build_lib, ignore_errors=True)  # what was taken away since the last build
        super().run()
        if not self.editable_mode:
            for source, target in brought(Path.cwd()):
                self.copy_file(str(source), str(self._made(target)))

    def get_outputs(self, include_bytecode: bool = True) -> list[str]:
        """Return what is built, with what is added."""
        added = [] if self.editable_mode else [str(self._place(target)) for _, target in brought(Path.cwd())]
        return [*super().get_outputs(include_bytecode), *added]

    def _place(self, target: str) -> Path:
        return Path(self.build_lib, "generator", PACKED, target)

    def _made(self, target: str) -> Path:
        place = self._place(target)
        place.parent.mkdir(parents=True, exist_ok=True)
        return place


def brought(root: Path) -> list[tuple[Path, str]]:
    """Return the files that the program brings, each with its path among them."""
    found = []
    for source, target in BROUGHT.items():
        paths = [root / source] if (root / source).is_file() else sorted((root / source).rglob("*"))
        for path in paths:
            inside = path.relative_to(root / source).as_posix()
            name = target if inside == "." else f"{target}/{inside}"
            links = any(one.is_symlink() for one in (path, *path.parents))
            written = source == "site_data" and inside.startswith(WRITTEN)
            if path.is_file() and not links and not written and not name.startswith(READ_HERE):
                found.append((path, name))
    return found
