"""What the thermal findings of a site are judged by, and which of its flow windows a person can set."""

from __future__ import annotations

from dataclasses import dataclass

from generator.compute.delivered import Powers
from generator.compute.fixture_limit import fixture_limit_k
from generator.compute.scald import Hottest, selected_stage
from generator.model.codes import Family
from generator.model.figures import Sentence, Value
from generator.model.heater import HeaterModel
from generator.model.results import FlowWindow
from generator.model.site import Site

# A flow cannot be set or held closer than this by hand: common practice, no source. The two ends of a window this wide
# stay apart when each is rounded inward to 0.01 gpm or 0.1 L/min.
SETTABLE_M3_S = 0.06 * 3.785411784e-3 / 60.0
SETTABLE_SHARE = 0.03


@dataclass(frozen=True, slots=True)
class ThermalCase:
    """A site's thermal side: powers by stage, windows and hottest water for every stage of the model;
    coldest and warmest inlet, target, the handbook's limit [K]; the family of the site's code basis;
    what keeps a mixing valve at each fixture from working with the heater, in words."""

    site: Site
    model: HeaterModel
    powers: Powers
    windows: tuple[FlowWindow, ...]
    hottest: tuple[Hottest, ...]
    winter_k: float
    summer_k: float
    target_k: float
    default_limit_k: float
    family: Family
    obstacles: tuple[tuple[str, ...], ...]

    @property
    def allowed_k(self) -> float:
        """The hottest water allowed [K]: the lowest limit at a fixture, or the model's greatest outlet below it."""
        limits = (fixture_limit_k(fixture, self.default_limit_k) for fixture in self.site.fixtures)
        return min(*limits, self.model.water.greatest_outlet_k)

    @property
    def selected(self) -> int:
        """The most stages that close at the site."""
        return selected_stage(self.site, self.model)


def _room(window: FlowWindow) -> tuple[float, float] | None:
    """Return (width of the window, least width that can be set) [m3/s]; None where it is empty or has no upper end."""
    if window.why_empty is not None or window.greatest.value is None:
        return None
    greatest = float(window.greatest.value)
    return greatest - float(window.least.value or 0.0), max(SETTABLE_M3_S, SETTABLE_SHARE * greatest)


def usable(window: FlowWindow) -> bool:
    """Return whether the window holds flows, and is wide enough to set one."""
    room = _room(window)
    return window.why_empty is None and (room is None or room[0] >= room[1])


def why_unusable(window: FlowWindow) -> Sentence:
    """Return why the window cannot be used; an empty sentence where it can."""
    room = _room(window)
    if window.why_empty is not None or room is None or room[0] >= room[1]:
        return window.why_empty or Sentence("")
    about, settable = Value("about", window.greatest.value or 0.0, "flow"), Value("settable", room[1], "flow", "up")
    template = "Only flows about {about} fit, within less than {settable} of each other: closer than a flow can be set."
    return Sentence(template, (about, settable))
