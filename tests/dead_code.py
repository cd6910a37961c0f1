"""What no part of the program uses: vulture's findings, with the words of templates and data counted as uses.

Run by `make test`. ALLOWED holds what is called from outside: by a library, or by other programs and the tests.
"""

from __future__ import annotations

import re
import sys
from pathlib import Path

from vulture import Vulture

ROOT = Path(__file__).parents[1]
TEMPLATES = ("*.j2", "*.typ")
DECORATORS = ["@model_validator", "@field_validator", "@cli.command"]  # pydantic and click call these
ALLOWED = [
    *("get_command", "list_commands", "format_commands"),  # click
    "*_command",  # the verbs, which the command loads by name
    *("Packed", "get_outputs"),  # setuptools
    "handle_*",  # html.parser
    *("on_*", "inclusion"),  # MkDocs
    *("_h1", "_p", "_br", "_div", "_blockquote", "_dl", "_details", "_a", "_svg"),  # book_nodes, by the tag's name
    "model_config",  # pydantic
    "default",
    *("bytecode_cache", "load_bytecode", "dump_bytecode", "code_generator_class", "_output_child_pre"),  # Jinja
    "filters",
    "globals",
    "format_version",  # of files that other programs read
    "records",
    "lighting",  # a key of the YAML that no heater needs
    "supply_power",  # in results.json
    "deviations",  # of a visit, in results.json
    "site_circuits",  # whoever wants the circuits of one site
]


def unused(package: Path, content: Path) -> list[str]:
    """Return what is never used, as `file:line: what`."""
    found = Vulture(ignore_names=ALLOWED, ignore_decorators=DECORATORS)
    found.scavenge([str(package)])
    for pattern in TEMPLATES:
        for template in content.rglob(pattern):
            found.used_names.update(re.findall(r"[A-Za-z_]\w*", template.read_text(encoding="utf-8")))
    return [f"{item.filename}:{item.first_lineno}: {item.message}" for item in found.get_unused_code()]


if __name__ == "__main__":
    lines = unused(ROOT / "generator", ROOT / "content")
    print("\n".join(lines))
    sys.exit(bool(lines))
