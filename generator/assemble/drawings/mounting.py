"""How a model hangs: its outline with the free space that it asks for."""

from __future__ import annotations

from generator.assemble.documents import ModelView
from generator.model.documents.drawings import MountingDrawing
from generator.model.figures import Value


def mounting(view: ModelView) -> MountingDrawing | None:
    """Return what is drawn of a model; None where its outline is not stated."""
    outline, free = view.spec.mounting.outline, view.spec.mounting.clearances
    if outline is None:
        return None
    return MountingDrawing(
        title=view.spec.title,
        outline=(
            Value("width", outline.width_m, "length"),
            Value("height", outline.height_m, "length"),
            Value("depth", outline.depth_m, "length"),
        ),
        above=Value("above", free.above_m, "length", "at_least"),
        below=Value("below", free.below_m, "length", "at_least"),
        sides=Value("sides", free.sides_m, "length", "at_least"),
        front=Value("front", free.front_m, "length", "at_least"),
        connections=tuple(
            (one.water == "hot outlet", f"{one.size} {one.thread}", one.side) for one in view.spec.connections
        ),
    )
