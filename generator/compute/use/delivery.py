"""How long hot water takes to arrive, and what runs to waste meanwhile: the case for mounting the heater close.

Dwell volume: the water between the fixture and the heater's inlet, cold at the start: the hot run and the heater's own
volume. Plug flow; pipe and heater take up heat too, so the true wait is longer. Taken at the flow of the fixture that
runs slowest, which waits longest; where no stage turns on at that flow no hot water ever comes.
"""

from __future__ import annotations

from dataclasses import dataclass

from generator.compute.flow.operating_point import OFF, Operating
from generator.compute.plumbing import plumbing
from generator.compute.sources import NAMEPLATE, STATED, sources
from generator.model.figures import Figure, Finding, Step, Value
from generator.model.finding_rules import Rule
from generator.model.said import because, say
from generator.model.state import State
from generator.si import FOOT_M, added

PLUG_FLOW = say("plug-flow")
FURTHER_M = 10.0 * FOOT_M


@dataclass(frozen=True, slots=True)
class Delivery:
    """Volumes [m3], the flow they are drawn at [m3/s], the wait [s] and what each further 10 ft of pipe adds [s]."""

    run_m3: float
    heater_m3: float
    flow_m3_s: float
    further_s: float

    @property
    def dwell_m3(self) -> float:
        """Water that runs to waste before hot water arrives [m3]."""
        return self.run_m3 + self.heater_m3

    @property
    def wait_s(self) -> float:
        """Time until hot water arrives [s]."""
        return self.dwell_m3 / self.flow_m3_s


def _slowest_m3_s(at: Operating) -> float:
    return min((*(fixture.flow_m3_s for fixture in at.site.fixtures), at.greatest_m3_s))


def _why_none(at: Operating) -> str:
    """Return why no hot water comes: a code of OFF, or NO_WATER."""
    flow = _slowest_m3_s(at)
    off = at.why_off(flow) if flow > 0.0 else None
    return off or NO_WATER


def delivery(at: Operating) -> Delivery | None:
    """Return the delivery of a site at work; None where no hot water comes."""
    flow = _slowest_m3_s(at)
    if flow <= 0.0 or at.why_off(flow):
        return None
    run_m3 = added(run.volume_m3 for run in at.way.hot)
    last = at.way.hot[-1]
    further_s = FURTHER_M / last.velocity_m_s(flow)
    return Delivery(run_m3, at.model.water.volume_m3, flow, further_s)


def delivery_figures(prefix: str, at: Operating) -> tuple[Figure, ...]:
    """Return the wasted volume and the wait."""
    found = delivery(at)
    if found is None:
        none: tuple[State, str] = ("none", because(_why_none(at)))
        return (
            Figure(f"{prefix}.wasted", say("water-run-off"), None, "volume", "at_least", (), *none),
            Figure(f"{prefix}.wait", say("wait-for-hot"), None, "time", "at_least", (), *none),
        )
    runs = tuple(Value(run.label, run.volume_m3, "volume", "at_least") for run in at.way.hot)
    heater = Value(say("heater-volume"), found.heater_m3, "volume", "at_least")
    wasted = Value("V", found.dwell_m3, "volume", "at_least")
    formula = say("run-and-heater")
    add = Step(formula, (*runs, heater), wasted, sources(STATED, NAMEPLATE))
    wait = Value("t", found.wait_s, "time", "at_least")
    last = Step("t = V / Q", (wasted, Value("Q", found.flow_m3_s, "flow", "at_most")), wait, PLUG_FLOW)
    return (
        Figure(f"{prefix}.wasted", say("water-run-off"), found.dwell_m3, "volume", "at_least", (add,)),
        Figure(f"{prefix}.wait", say("wait-for-hot"), found.wait_s, "time", "at_least", (add, last)),
    )


NO_WATER = "no-water"
VALUES = ("run", "flow", "wait", "wasted", "length", "further")
DELIVERY = Rule(
    "delivery",
    {"none": ("flow", "off"), "not-held": VALUES, "short": (*VALUES, "most"), "too-long": (*VALUES, "most")},
    choices={"off": (*OFF, NO_WATER)},
)


def delivery_finding(at: Operating) -> Finding:
    """Return `delivery`: wait and waste, and the hot run's volume against the energy code's.

    `attention` above the code's volume: every use wastes water and heat, and users who find it cold leave. Or where no
    hot water comes to the fixture that runs slowest. No danger. Where no energy code is held for the site the volume is
    not judged.
    """
    found = delivery(at)
    if found is None:
        none = (Value("flow", _slowest_m3_s(at), "flow", "at_most"), Value("off", _why_none(at), "text"))
        return DELIVERY.judge("none", "attention", none, source=PLUG_FLOW).at(at.site.id)
    public = any(fixture.kind == "public lavatory" for fixture in at.site.fixtures)
    limit = at.plumbing.limits.hot_run
    most_m3 = limit.public_lavatory_m3 if public else limit.other_m3
    values = (
        Value("run", found.run_m3, "volume", "at_least"),
        Value("flow", found.flow_m3_s, "flow", "at_most"),
        Value("wait", found.wait_s, "time", "at_least"),
        Value("wasted", found.dwell_m3, "volume", "at_least"),
        Value("length", FURTHER_M, "length"),
        Value("further", found.further_s, "time", "at_least"),
    )
    source = sources(PLUG_FLOW, plumbing(limit.rule))
    if not at.plumbing.held:
        return DELIVERY.judge("not-held", "ok", values, source=source).at(at.site.id)
    judged = (*values, Value("most", most_m3, "volume", "at_most"))
    if found.run_m3 > most_m3:
        return DELIVERY.judge("too-long", "attention", judged, source=source).at(at.site.id)
    return DELIVERY.judge("short", "ok", judged, source=source).at(at.site.id)
