"""Every drawing that a handbook can show of a site, of a model and of its range, by name."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from markupsafe import Markup

from generator.assemble.documents import ModelView, SiteView
from generator.assemble.drawings import heat
from generator.assemble.drawings.mounting import mounting
from generator.assemble.drawings.outlet import outlet
from generator.assemble.drawings.piping import piping
from generator.assemble.drawings.readings import readings
from generator.assemble.drawings.wiring import model_wiring, site_wiring
from generator.model.content.words import Style
from generator.model.documents.drawings import LinesDrawing
from generator.model.tables.burns import BurnTable
from generator.render.drawing.burn import burn as draw_burn
from generator.render.drawing.lines import lines as draw_lines
from generator.render.drawing.mounting import mounting as draw_mounting
from generator.render.drawing.outlet import outlet as draw_outlet
from generator.render.drawing.piping import piping as draw_piping
from generator.render.drawing.pressure import pressure as draw_pressure
from generator.render.drawing.readings import readings as draw_readings
from generator.render.drawing.rise import model_range as draw_range
from generator.render.drawing.rise import rise as draw_rise
from generator.render.drawing.wiring import wiring as draw_wiring
from generator.render.drawing.year import year as draw_year

Named = tuple[str, Markup]


def of_site(view: SiteView, style: Style, burns: Sequence[BurnTable], materials: Mapping[str, str]) -> Iterator[Named]:
    """The drawings of a site."""
    if (teeth := outlet(view)) is not None:
        yield "outlet", draw_outlet(teeth, style)
    for feed in site_wiring(view):
        yield "wiring", draw_wiring(feed, style)
    yield "piping", draw_piping(piping(view, materials), style)
    if (pressure := heat.pressure(view)) is not None:
        yield "pressure", draw_pressure(pressure, style)
    if (year := heat.year(view)) is not None:
        yield "year", draw_year(year, style)
    if (burn := heat.burn(view, burns)) is not None:
        yield "burn", draw_burn(burn, style)
    throttled = tuple(one for one in view.result.water.curves if ".curve." in one.id) if view.result.water else ()
    if throttled:
        yield "lines", draw_lines(LinesDrawing(throttled[0].y_label, throttled), style)
    for visit in view.result.visits:
        if visit.points:
            yield "readings", draw_readings(readings(visit, view.result.expected), style)


def of_model(view: ModelView, style: Style) -> Iterator[Named]:
    """The drawings of a model."""
    if (hangs := mounting(view)) is not None:
        yield "mounting", draw_mounting(hangs, style)
    for place, _ in enumerate(view.spec.ratings):
        if (rise := heat.rise(view, place)) is not None:
            yield "rise", draw_rise(rise, style)
    for _, feeds in model_wiring(view):
        for feed in feeds:
            yield "wiring", draw_wiring(feed, style)


def of_range(views: Sequence[ModelView], style: Style) -> Named:
    """The drawing of the range."""
    return "range", draw_range(heat.model_range(views), style)
