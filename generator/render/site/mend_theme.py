"""What is done to a site after the engine: the parts of its theme that no page uses removed, its script held back."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable
from itertools import chain
from pathlib import Path

from generator.render.site.unused_style import names_in, without_unused

# Source maps, and pages and lists meant for a web server; the search is the handbook's own.
UNUSED = (
    "assets/**/*.map",
    "assets/javascripts/lunr/**/*",
    "assets/javascripts/workers/*",
    "assets/images/favicon.png",
    "search.json",
    "404.html",
    "sitemap.xml",
    "sitemap.xml.gz",
)
_SOURCE_MAP = re.compile(rb"\n?(//|/\*)# sourceMappingURL=\S+( \*/)?\s*$")
# The theme's script reads nothing that a reader waits for: assets/handbook.js loads it once the page is there.
_SCRIPT = re.compile(r'<script src="([^"]*assets/javascripts/bundle[^"]*)"></script>')
# The successor engine has a search of its own and no key that leaves it out.
_SEARCH = re.compile(
    r'<label [^>]*\bfor="__search">.*?</label>\s*<div class="md-search" data-md-component="search".*?</div>', re.DOTALL
)
# The ids of figures and findings have dots; in an address of a place on a page each is a dash. Each pattern begins with
# a fixed text, which Python looks for many times as fast as for one of several.
_IDS = tuple(
    re.compile(rf'{name}="[^".]*\.[^"]*"')
    for name in ("id", "for", "aria-labelledby", "aria-describedby", "aria-controls")
)
_PLACE = re.compile(r'href="(?![a-z]+:)[^"#]*#[^".]*\.[^"]*"')
# A browser fetches the page that is called next beforehand, which the policy of pages holds back; none is next here.
_NEXT = re.compile(r'<link rel="(?:prev|next)" href="[^"]*">\n?')
_HELD = r'<script type="text/plain" data-theme="\1"></script>'


def mend_theme(site: Path, names: Iterable[str] = ()) -> dict[str, list[str]]:
    """Remove what no reader can use from a built site, and let its pages be read before the theme's script runs.

    `names`: the classes and colours of pages that are not there yet. Return those of each page by its path.
    """
    for pattern in UNUSED:
        for path in site.glob(pattern):
            if path.is_file():
                path.unlink()
    for path in (*site.glob("assets/**/*.js"), *site.glob("assets/**/*.css")):
        path.write_bytes(_SOURCE_MAP.sub(b"", path.read_bytes()))
    found: dict[str, list[str]] = {}
    for path in site.rglob("*.html"):
        text = path.read_text(encoding="utf-8")
        found[path.relative_to(site).as_posix()] = sorted(names_in(text))
        path.write_text(_mended(text), encoding="utf-8", newline="\n")
    _prune(site, {*names, *chain.from_iterable(found.values())})
    return found


def _mended(page: str) -> str:
    page = _NEXT.sub("", _SEARCH.sub("", _SCRIPT.sub(_HELD, page)))
    for pattern in (*_IDS, _PLACE):
        page = pattern.sub(_dashed, page)
    return page


def _dashed(attribute: re.Match[str]) -> str:
    """Return an attribute with dashes for the dots of a place; what only ends like one's name is left."""
    if not attribute.start() or attribute.string[attribute.start() - 1] not in ' \n\t"':
        return attribute[0]
    address, mark, fragment = attribute[0].rpartition("#")
    return f"{address}{mark}{fragment.replace('.', '-')}"


def _prune(site: Path, used: Collection[str]) -> None:
    scripts = "".join(path.read_text(encoding="utf-8") for path in site.glob("assets/**/*.js"))
    names = {*used, *re.findall(r"[\w-]+", scripts)}
    own = "".join(path.read_text(encoding="utf-8") for path in site.glob("assets/*.css"))
    for path in site.glob("assets/stylesheets/**/*.css"):
        text = without_unused(path.read_text(encoding="utf-8"), names, beside=own)
        path.write_text(text, encoding="utf-8", newline="\n")
