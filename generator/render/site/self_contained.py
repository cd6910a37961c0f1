"""Pages that can be carried alone: what they load from the built site is put into them, and nothing else is loaded."""

from __future__ import annotations

import base64
import re
import shutil
from functools import lru_cache
from html import unescape
from pathlib import Path

from generator.render.site.unused_style import names_in, without_unused

FOLDER = "pocket"  # where such pages lie
WORKER = "service-worker.js"  # a worker rules over the folder that it lies in: it has to lie at the root
_STYLE = re.compile(r'<link rel="stylesheet" href="([^"]*)">')
_SCRIPT = re.compile(r'<script src="([^"]*)"></script>')
_PICTURE = re.compile(r'(<link rel="icon"|<img\b[^>]*?)( href| src)="([^":]*\.(?:svg|png))"')
_STYLE_COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)
_SCRIPT_COMMENT = re.compile(r"^\s*/\*(?!!).*?\*/\n", re.DOTALL | re.MULTILINE)  # a licence stays
_INDENT = re.compile(r"^[ \n]+", re.MULTILINE)  # no script has a text of several lines that begins so: a test holds it
_AROUND = re.compile(r" ?([{};,]) ?|(?<=:) (?=[^{}]*})")
_QUOTED = re.compile(r"\"([^\"\n]*)\"|'([^'\n]*)'|`([^`\n]*)`")  # in scripts: a class they set stands in a text
_SPACES = re.compile(r"\s+")


def carry_alone(site: Path) -> None:
    """Put into each page of the folder what it loads, and the worker that keeps what was opened at the site's root."""
    for path in sorted((site / FOLDER).glob("*.html")):
        path.write_text(contained(path), encoding="utf-8", newline="\n")
    shutil.copy(site / "assets" / WORKER, site / WORKER)


def contained(path: Path) -> str:
    """Return a page of HTML with its style sheets, scripts and pictures in it."""
    page = path.read_text(encoding="utf-8")

    def beside(address: str) -> str:
        return (path.parent / unescape(address)).read_text(encoding="utf-8")

    page = _SCRIPT.sub(lambda found: f"<script>{_script(beside(found[1]))}</script>", page)
    page = _PICTURE.sub(lambda found: f'{found[1]}{found[2]}="{_data(path.parent / unescape(found[3]))}"', page)
    scripts = "".join(re.findall(r"<script>(.*?)</script>", page, re.DOTALL))
    names = frozenset(names_in(page) | _quoted(scripts))
    return _STYLE.sub(lambda found: f"<style>{_style(beside(found[1]), names)}</style>", page)


@lru_cache(maxsize=64)  # all pages have much the same scripts and styles
def _quoted(scripts: str) -> frozenset[str]:
    """Return the words of the texts in scripts, any of which may be a class that they set."""
    return frozenset(re.findall(r"[\w-]+", " ".join(text for texts in _QUOTED.findall(scripts) for text in texts)))


@lru_cache(maxsize=64)
def _script(text: str) -> str:
    return _INDENT.sub("", _SCRIPT_COMMENT.sub("", text)).replace("</script", "<\\/script").strip()


@lru_cache(maxsize=64)
def _style(text: str, names: frozenset[str]) -> str:
    """Return the rules of a style sheet that can apply, without comments and needless spaces."""
    return without_unused(_short(text), names).strip()


@lru_cache(maxsize=64)
def _short(text: str) -> str:
    return _AROUND.sub(r"\1", _SPACES.sub(" ", _STYLE_COMMENT.sub("", text)))


def _data(picture: Path) -> str:
    kind = "svg+xml" if picture.suffix == ".svg" else "png"
    return f"data:image/{kind};base64,{base64.b64encode(picture.read_bytes()).decode()}"
