"""What the standards on information for use want told stands on the page that is named for it."""

from pathlib import Path

import pytest
import yaml

from generator.render.pages.write import Rendered
from tests.content.test_trade_words import shown

WANTED = yaml.safe_load(
    (Path(__file__).parents[1] / "sources" / "information_for_use.yaml").read_text(encoding="utf-8")
)["items"]


@pytest.mark.parametrize("item", WANTED, ids=[item["what"] for item in WANTED])
def test_it_is_told(item: dict[str, str], rendered: tuple[Rendered, ...]) -> None:
    text = next(shown(one.text) for one in rendered if one.page.id == item["page"])
    assert item["says"].lower() in text.lower(), item


def test_who_uses_the_water_is_told_near_the_front(rendered: tuple[Rendered, ...]) -> None:
    """EN 60335-1 (2012) 7.12, secondary copy: the words on safe use stand together in the front of the instructions."""
    ids = [one.page.id for one in rendered if not one.page.kind]
    assert ids.index("using-the-water") < ids.index("installation/index")
