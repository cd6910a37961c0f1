"""A site in a language that nobody has reviewed: each page says so at its head and leads to the English one."""

from __future__ import annotations

import re
import shutil
from collections.abc import Collection
from pathlib import Path

from markupsafe import Markup

from generator.model.settings import ENGLISH
from generator.render.site.self_contained import FOLDER as ALONE

# Where what a page says begins: of a page of the engine, and of one that passes it by.
_HEAD = re.compile(r'<article class="md-content__inner[^>]*>|<main>')
_BODY = re.compile("<body[^>]*>")
_BOX = Markup(
    '<div class="deferral unreviewed" role="note"><p>{} <a href="{}" lang="en" hreflang="en" dir="ltr">{}</a></p></div>'
)


def set_beside(site: Path, english: Path, said: Collection[str], *, title: str) -> None:
    """Put the built English site into a built one, and have each page say what is `said` and lead to its namesake.

    `title` names the link. What is carried alone, away from the site, is the English one: nothing stands beside it.
    """
    for page in sorted(site.rglob("*.html")):
        inside = page.relative_to(site)
        if (english / inside).is_file():
            up = "../" * (len(inside.parts) - 1)
            box = _BOX.format(Markup(" ").join(said), f"{up}{ENGLISH}/{inside.as_posix()}", title)
            text = page.read_text(encoding="utf-8")
            head = _HEAD.search(text) or _BODY.search(text)
            at = head.end() if head else 0
            page.write_text(f"{text[:at]}{box}{text[at:]}", encoding="utf-8", newline="\n")
    for page in sorted((english / ALONE).glob("*.html")):
        shutil.copy(page, site / ALONE / page.name)
    shutil.copytree(english, site / ENGLISH)
