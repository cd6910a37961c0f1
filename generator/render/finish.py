"""What is done to a site after the engine: the unused parts of its theme removed, a fault of its search mended."""

from __future__ import annotations

import re
from pathlib import Path

# Source maps, the searches of other languages, and pages and lists meant for a web server.
UNUSED = ("assets/**/*.map", "assets/javascripts/lunr/**/*", "404.html", "sitemap.xml", "sitemap.xml.gz")
_SOURCE_MAP = re.compile(rb"\n?(//|/\*)# sourceMappingURL=\S+( \*/)?\s*$")

# The search library (lunr 2) takes two nodes of its word tree for the same one when their letters and numbers, written
# in a row, read alike: the letter 1 with node 23 and the letter 1 with node 2 before a letter 3. A book full of figures
# meets this, and every search for a word that begins so then fails (olivernn/lunr.js#503). A comma after each number
# keeps them apart.
_NODE_NAME = re.compile(rb"(\.prototype\.toString=function\(\)\{[^}]*\{[^}]*?(\w)=\2\+\w\+\w\.id)(\})")


def finish(site: Path) -> None:
    """Remove what no reader can use from a built site, and mend its search."""
    for pattern in UNUSED:
        for path in site.glob(pattern):
            if path.is_file():
                path.unlink()
    for path in (*site.glob("assets/**/*.js"), *site.glob("assets/**/*.css")):
        path.write_bytes(_SOURCE_MAP.sub(b"", path.read_bytes()))
    for path in site.glob("assets/**/search*.js"):
        path.write_bytes(_NODE_NAME.sub(rb'\1+","\3', path.read_bytes()))
