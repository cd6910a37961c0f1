"""The outlet of a site against the flow."""

from __future__ import annotations

from generator.assemble.documents import SiteView
from generator.model.documents.drawings import OutletDrawing, Switching


def outlet(view: SiteView) -> OutletDrawing | None:
    """Return what is drawn; None where the supply does not fit the heater, and no outlet is known."""
    result, page = view.result, view.first_page
    if not result.outlet_curves:
        return None
    drawn = {int(curve.title) for curve in result.outlet_curves}
    return OutletDrawing(
        curves=result.outlet_curves,
        switching=tuple(
            Switching(one.number, one.closes_at, one.opens_at) for one in result.stages if one.number in drawn
        ),
        inlets=(result.winter_inlet, result.summer_inlet),
        limit=result.limit,
        target=result.target,
        hottest=(result.hottest, result.hottest_flow) if result.hottest_flow else None,
        window=page.window_ends,
        at_work=page.at_work,
    )
