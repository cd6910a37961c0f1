"""What a site engine's theme ships and no reader of the handbook can use."""

from __future__ import annotations

import re
from pathlib import Path

# Source maps, the searches of other languages, and pages and lists meant for a web server.
UNUSED = ("assets/**/*.map", "assets/javascripts/lunr/**/*", "404.html", "sitemap.xml", "sitemap.xml.gz")
_SOURCE_MAP = re.compile(rb"\n?(//|/\*)# sourceMappingURL=\S+( \*/)?\s*$")


def remove_unused(site: Path) -> None:
    """Delete the unused files of a built site, and what points to them."""
    for pattern in UNUSED:
        for path in site.glob(pattern):
            if path.is_file():
                path.unlink()
    for path in (*site.glob("assets/**/*.js"), *site.glob("assets/**/*.css")):
        path.write_bytes(_SOURCE_MAP.sub(b"", path.read_bytes()))
