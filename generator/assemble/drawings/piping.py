"""The way of the water from the supply to the fixtures, with what the findings ask for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from generator.assemble.documents import SiteView
from generator.model.documents.drawings import PartKind, PipePart, PipingDrawing
from generator.model.figures import Finding, Value
from generator.model.site import Fixture
from generator.model.site_water import StatedRun

# Fittings that are drawn; bends and tees are told with their pipe alone.
FITTINGS: Mapping[str, PartKind] = {
    "ball-valve": "shutoff",
    "gate-valve": "shutoff",
    "globe-valve": "shutoff",
    "stop-valve": "shutoff",
    "check-valve": "check",
    "strainer": "screen",
    "union": "union",
}
DEVICES: Mapping[str, PartKind] = {
    "meter": "meter",
    "backflow preventer": "backflow",
    "softener": "softener",
    "filter": "filter",
    "hose": "hose",
    "regulator": "regulator",
}
TAPS: Mapping[str, PartKind] = {"test point": "test-point", "drain": "drain"}
# What a rule that is not passed asks to be looked at: where the water comes in, before the heater, and at a fixture.
AT_SUPPLY: Mapping[str, PartKind] = {"static-pressure": "regulator"}
BEFORE_HEATER: Mapping[str, PartKind] = {
    "filter-screen": "screen",
    "thermal-expansion": "expansion",
    "relief-valve": "relief",
}
AT_FIXTURES: Mapping[str, PartKind] = {"mixing-valve": "mixing"}


def piping(view: SiteView, materials: Mapping[str, str]) -> PipingDrawing:
    """Return what is drawn of a site's pipework; `materials`: their names, by id."""
    water, findings = view.spec.water, view.result.findings
    parts = [PipePart("supply", hot=False), *_asked(findings, AT_SUPPLY, hot=False)]
    for run in water.cold_run:
        parts += _run(run, materials, hot=False)
    if water.check_valve and not any("check-valve" in run.fittings for run in water.cold_run):
        parts.append(PipePart("check", hot=False))
    parts += [*_asked(findings, BEFORE_HEATER, hot=False), PipePart("heater", hot=True, named=view.heater.title)]
    if view.heater.water.drain:
        parts.append(PipePart("drain", hot=True, named=view.heater.title))
    for run in water.hot_run:
        parts += _run(run, materials, hot=True)
    asked = tuple(_asked(findings, AT_FIXTURES, hot=True))
    if all(fixture.mixing_valve for fixture in view.spec.fixtures):
        parts += asked  # of valves that are there
    branches = enumerate(view.spec.fixtures, 1 if len(view.spec.fixtures) > 1 else 0)
    return PipingDrawing((*parts, *(part for one, fixture in branches for part in _branch(fixture, asked, branch=one))))


def _branch(fixture: Fixture, asked: tuple[PipePart, ...], *, branch: int) -> Iterator[PipePart]:
    """Yield a fixture behind its mixing valve, or behind the one that is asked for where it has none."""
    if fixture.mixing_valve is not None:
        valve = fixture.mixing_valve
        setting = Value("setting", valve.setting_k, "temperature")
        yield PipePart("mixing", hot=True, named=valve.standard, length=setting, branch=branch)
    else:
        yield from (replace(one, branch=branch) for one in asked)
    flow = Value("flow", fixture.flow_m3_s, "flow")
    yield PipePart("fixture", hot=True, named=fixture.name, length=flow, branch=branch)


def _run(run: StatedRun, materials: Mapping[str, str], *, hot: bool) -> Iterator[PipePart]:
    """Yield the devices of a run, its pipe, the fittings that are drawn, and its taps."""
    for device in run.devices:
        yield PipePart(DEVICES[device.kind], hot, device.name)
    named = f"{run.size} {materials.get(run.material, run.material)}"
    yield PipePart("pipe", hot, named, length=Value("length", run.length_m, "length", "at_least"))
    for fitting, count in run.fittings.items():
        kind = FITTINGS.get(fitting)
        if kind is not None and count:
            named = fitting.replace("-", " ") if kind == "shutoff" else ""
            yield PipePart("turn-down" if hot and named else kind, hot, named, count)
    yield from (PipePart(TAPS[tap], hot) for tap in run.taps)


def _asked(findings: tuple[Finding, ...], places: Mapping[str, PartKind], *, hot: bool) -> Iterator[PipePart]:
    for found in findings:
        if found.rule in places and found.severity != "ok" and not found.decided:
            yield PipePart(places[found.rule], hot, standing="to fit" if found.severity == "stop" else "ask")
