"""Which flow windows a hand at a tap can set: the one rule for pages and cards."""

from __future__ import annotations

from dataclasses import replace

from generator.model.figures import Figure, Sentence, Value
from generator.model.results import FlowWindow

# No tap holds a flow closer than this, and it is the last digit shown: a narrower window, its least end rounded up and
# its greatest down, would be printed with its ends crossed.
LEAST_WIDTH_M3_S = 0.1e-3 / 60.0


def settable(window: FlowWindow) -> FlowWindow:
    """Return the window, or, of one too narrow to set, an empty one that says so."""
    least, greatest = window.least, window.greatest
    if not (isinstance(least.value, float) and isinstance(greatest.value, float)):
        return window
    if greatest.value - least.value >= LEAST_WIDTH_M3_S:
        return window
    only = Value("least", least.value, "flow", "up")
    width = Value("width", LEAST_WIDTH_M3_S, "flow")
    why = Sentence("Too narrow to set: only {least} would do, and no tap holds a flow to {width}.", (only, width))
    return FlowWindow(window.number, _none(least), _none(greatest), why)


def _none(end: Figure) -> Figure:
    return replace(end, value=None, state="none")
