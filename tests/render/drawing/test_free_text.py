"""What people write in the data stays text in every drawing that shows it, in however many lines it is set."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from generator.assemble.documents import ModelView, SiteView
from generator.assemble.drawings import heat
from generator.assemble.drawings.mounting import mounting
from generator.assemble.drawings.piping import piping
from generator.build import Loaded
from generator.model.content.words import Style
from generator.render.drawing import rise
from generator.render.drawing.mounting import mounting as draw_mounting
from generator.render.drawing.piping import piping as draw_piping
from tests.render.drawing.svg_reader import Read, read

HOSTILE = "<script>alert(\"1\")</script> & <b>tap</b> 'two' &amp; ]]> of the long wash-up bay behind the cold room"
Draw = Callable[[SiteView, ModelView, Style], str]


def piped(site: SiteView, _: ModelView, style: Style) -> str:
    fixture = site.spec.fixtures[0].model_copy(update={"name": HOSTILE})
    return draw_piping(piping(replace(site, spec=site.spec.model_copy(update={"fixtures": (fixture,)})), {}), style)


def hung(_: SiteView, model: ModelView, style: Style) -> str:
    connections = tuple(one.model_copy(update={"side": HOSTILE}) for one in model.spec.connections)
    record = mounting(replace(model, spec=model.spec.model_copy(update={"connections": connections})))
    assert record is not None
    return draw_mounting(record, style)


def in_range(_: SiteView, model: ModelView, style: Style) -> str:
    record = heat.model_range((replace(model, spec=model.spec.model_copy(update={"title": HOSTILE})),))
    return rise.model_range(record, style)


def titled(_: SiteView, model: ModelView, style: Style) -> str:
    record = heat.rise(replace(model, spec=model.spec.model_copy(update={"title": HOSTILE})))
    assert record is not None
    return rise.rise(record, style)


@pytest.mark.parametrize("draw", [piped, hung, in_range, titled])
def test_free_text_stays_text(loaded: Loaded, draw: Draw) -> None:
    site = next(one for one in loaded.book.sites if one.spec.id == "packing-house")
    svg = draw(site, loaded.book.models[0], Style("us", loaded.book.words))
    found: Read = read(svg)  # which is sound XML without a script
    said = [" ".join(found.texts), found.words("title"), found.words("desc")]
    assert any(HOSTILE in text for text in said) and HOSTILE in (said[0] if draw is not titled else said[1])
    assert not [one.tag for one in found.root.iter() if one.tag.endswith(("}b", "}script"))]


def test_a_long_text_is_set_in_several_lines_and_loses_none_of_its_words(loaded: Loaded) -> None:
    site = next(one for one in loaded.book.sites if one.spec.id == "packing-house")
    texts = read(piped(site, loaded.book.models[0], Style("us", loaded.book.words))).texts
    first = next(place for place, one in enumerate(texts) if one.startswith("<script>"))
    assert len(texts) - first >= 2 and " ".join(texts[first:]).startswith(HOSTILE)
