"""The drawings as page templates call them: each in the units and the words of its page."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from jinja2 import pass_context
from jinja2.runtime import Context
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
from generator.model.heater import Rating
from generator.model.records import Expected, Visit
from generator.model.water_results import Curve
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

if TYPE_CHECKING:
    from generator.render.pages.names import Record


def _style(context: Context) -> Style:
    """Return the style of the page, which thereby shows figures."""
    record: Record = context["record"]
    record.figures = True
    return record.style


@pass_context
def outlet_drawing(context: Context, view: SiteView) -> Markup:
    """Return the outlet of a site against the flow; nothing where none is known."""
    record = outlet(view)
    return draw_outlet(record, _style(context)) if record else Markup("")


@pass_context
def wiring_drawings(context: Context, view: SiteView) -> tuple[Markup, ...]:
    """Return the wiring of a site, a drawing a feed."""
    style = _style(context)
    return tuple(draw_wiring(one, style) for one in site_wiring(view))


@pass_context
def model_wirings(context: Context, view: ModelView) -> tuple[tuple[Rating, tuple[Markup, ...]], ...]:
    """Return the wiring of a model by each line of its nameplate, a drawing a feed."""
    style = _style(context)
    return tuple((rating, tuple(draw_wiring(one, style) for one in feeds)) for rating, feeds in model_wiring(view))


@pass_context
def lines_drawing(context: Context, curves: Sequence[Curve]) -> Markup:
    """Return curves that share their axes."""
    title = curves[0].title if len(curves) == 1 else curves[0].y_label
    return draw_lines(LinesDrawing(title, tuple(curves)), _style(context))


@pass_context
def readings_drawing(context: Context, visit: Visit, rows: Sequence[Expected]) -> Markup:
    """Return what a visit read over what was predicted; `rows`: those of the site's record."""
    return draw_readings(readings(visit, rows), _style(context))


@pass_context
def rise_drawing(context: Context, view: ModelView, rating: int = 0) -> Markup:
    """Return the rise of a model at a line of its nameplate; nothing where none is known."""
    record = heat.rise(view, rating)
    return draw_rise(record, _style(context)) if record else Markup("")


@pass_context
def range_drawing(context: Context, views: Sequence[ModelView]) -> Markup:
    """Return which model serves which rise at which flow."""
    return draw_range(heat.model_range(views), _style(context))


@pass_context
def year_drawing(context: Context, view: SiteView) -> Markup:
    """Return the inlet of a site through the year; nothing where it is not known."""
    record = heat.year(view)
    return draw_year(record, _style(context)) if record else Markup("")


@pass_context
def burn_drawing(context: Context, view: SiteView) -> Markup:
    """Return how soon the hottest water of a site burns, as published; nothing where the supply does not fit."""
    record = heat.burn(view, context["burn_sources"])
    return draw_burn(record, _style(context)) if record else Markup("")


@pass_context
def pressure_drawing(context: Context, view: SiteView) -> Markup:
    """Return the pressure along the way of the water; nothing where none flows."""
    record = heat.pressure(view)
    return draw_pressure(record, _style(context)) if record else Markup("")


@pass_context
def piping_drawing(context: Context, view: SiteView) -> Markup:
    """Return the pipework of a site."""
    pipes = context["pipes"]
    materials = {name: one.title for name, one in pipes.materials.items()} if pipes else {}
    return draw_piping(piping(view, materials), _style(context))


@pass_context
def mounting_drawing(context: Context, view: ModelView) -> Markup:
    """Return how a model hangs, to scale; nothing where its outline is not stated."""
    record = mounting(view)
    return draw_mounting(record, _style(context)) if record else Markup("")


FUNCTIONS = {
    "piping_drawing": piping_drawing,
    "mounting_drawing": mounting_drawing,
    "rise_drawing": rise_drawing,
    "range_drawing": range_drawing,
    "year_drawing": year_drawing,
    "burn_drawing": burn_drawing,
    "pressure_drawing": pressure_drawing,
    "lines_drawing": lines_drawing,
    "readings_drawing": readings_drawing,
    "outlet_drawing": outlet_drawing,
    "wiring_drawings": wiring_drawings,
    "model_wirings": model_wirings,
}
