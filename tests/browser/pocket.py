"""The pocket pages of the demo, made without the site engine, which only copies them."""

from collections.abc import Iterable
from pathlib import Path

from generator.render.pages.write import Rendered, read_assets
from generator.render.site.policy import with_policy
from generator.render.site.self_contained import contained
from tests.frozen import ROOT


def write_pocket_pages(folder: Path, rendered: Iterable[Rendered]) -> Path:
    """Write the pocket pages of rendered ones under `folder`, each carried alone, and return where they lie."""
    for name, data in read_assets(ROOT / "content" / "assets").items():
        path = folder / "assets" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    made = folder / "pocket"
    made.mkdir()
    for one in rendered:
        if one.page.part == "pocket":
            (folder / one.page.path).write_text(one.text, encoding="utf-8")
    for path in made.glob("*.html"):
        path.write_text(with_policy(contained(path)), encoding="utf-8")
    return made
