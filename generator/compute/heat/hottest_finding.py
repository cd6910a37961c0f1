"""The finding `hottest-water`: can a user who turns a tap down be burned, and what to do about it.

Severity, and why:
- `stop`: the warmest inlet alone reaches a fixture's limit: nothing at the heater, and no valve, makes it cooler. Or
  the hottest water passes the limit of a fixture without a mixing valve. Turning a tap down is ordinary use,
  nothing stands between that water and skin, and near 140 degF a burn takes seconds; a notice cannot guard against it.
  Or water above it was measured there, carried to the warmest day (`measured`): what was computed is then no proof.
- `attention`: only at the adverse end of the band does it pass the limit of a fixture without a mixing valve: a heater
  like it may scald, which no person can settle. A stated range of the supply clears it (`band`), or where the rest of
  the band is enough to pass the limit no range does (`band-any-supply`). Or over the band it passes the limit only of
  fixtures with a mixing valve: safe while the valve is set, works and is tested, which someone must do. Or it keeps
  every limit at the selected stage alone: safe while no one turns the selector up.
- `ok`: over the band it passes no fixture's limit at any stage that can be selected.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from generator.compute.heat import balance as heating
from generator.compute.heat.burn import shortest_exposure
from generator.compute.heat.case import ThermalCase
from generator.compute.heat.hottest import Hottest, holds_to_v
from generator.compute.plumbing import Plumbing
from generator.compute.severity import ATTENTION, OK, STOP
from generator.compute.sources import sources
from generator.compute.use.fixture_limit import code_limit, fixture_limit_k
from generator.compute.use.guard import guarded
from generator.compute.use.valve_fit import OBSTACLES, WAYS, coded, named, standards, ways
from generator.model.figures import Finding, Row, Value
from generator.model.finding_rules import Rule
from generator.model.site import Fixture
from generator.model.tables.burns import BurnTable

_BURN = ("row", "last_row", "qualifier", "time", "describes")
_FOUND = ("flow", "closed", "stages", "hottest", "top", "top_held", "supply", "cut_out", "fixture", "limit", *_BURN)
HOTTEST = Rule(
    "hottest-water",
    {
        "warm-inlet": ("inlet", "fixture", "limit", *_BURN),
        "within": (*_FOUND, "holds"),
        "guarded": _FOUND,
        "turned-up": _FOUND,
        "turned-up-coded": _FOUND,
        "turned-up-guarded": _FOUND,
        "band": (*_FOUND, "holds", "lower"),
        "band-any-supply": (*_FOUND, "holds", "lower"),
        "above": (*_FOUND, "lower"),
        "above-coded": (*_FOUND, "lower"),
        "measured": (*_FOUND, "met"),
    },
    lists={
        "checked": ("standard", "fixture"),
        "suited": ("standard", "fixture"),
        "unsuited": ("fixture",),
        "obstacles": ("obstacle",),
        "ways": ("way",),
        "then": ("standard", "fixture"),
        "coded": ("fixture",),
    },
    choices={"obstacle": OBSTACLES, "way": WAYS},
    stops=("warm-inlet", "above", "above-coded", "measured"),
)

_SEVERITIES = {"within": OK, "guarded": ATTENTION, "turned-up": ATTENTION, "band": ATTENTION, "above": STOP}
_SEVERITIES |= {"measured": STOP}
Lists = dict[str, tuple[Row, ...]]


class _Limit(NamedTuple):
    """A fixture's limit temperature [K], whether a mixing valve holds it, and what keeps one from working there."""

    limit_k: float
    fixture: Fixture
    guarded: bool
    obstacles: tuple[str, ...]

    def passed(self, temperature_k: float) -> bool:
        return temperature_k > self.limit_k


def _limits(case: ThermalCase) -> Iterator[_Limit]:
    code = case.plumbing.limits
    for fixture, found in zip(case.site.fixtures, case.obstacles, strict=True):
        limit_k = fixture_limit_k(fixture, case.default_limit_k, code)
        yield _Limit(limit_k, fixture, guarded(fixture, limit_k, code), found)


def _judge(nominal_k: float, top_k: float, *, turned_up_k: float, limits: list[_Limit]) -> tuple[str, list[_Limit]]:
    """Return the case, as far as the remedy does not part it, and the limits concerned.

    The hottest water [K] at the selected stage: as stated and at the top of the band; `turned_up_k` with every stage,
    at the top of the band.
    """
    for case, hottest_k in (("above", nominal_k), ("band", top_k)):
        if bare := _passed_bare(hottest_k, limits):
            return case, bare
    for case, hottest_k in (("guarded", top_k), ("turned-up", turned_up_k)):
        passed = [limit for limit in limits if limit.passed(hottest_k)]
        if passed:
            return case, passed
    return "within", limits


def _passed_bare(hottest_k: float | None, limits: list[_Limit]) -> list[_Limit]:
    """Return the limits of fixtures without a valve that holds them which water of this temperature [K] passes."""
    if hottest_k is None:
        return []
    return [limit for limit in limits if limit.passed(hottest_k) and not limit.guarded]


def _values(hottest: Hottest, top: Hottest, limit: _Limit, *, case: ThermalCase) -> tuple[Value, ...]:
    """Return what was found, as stated and at the top of the band, with the burn time when the limit is passed."""
    judged_k = hottest.judged_k if limit.passed(hottest.judged_k) else top.judged_k
    values = [
        Value("flow", hottest.flow_m3_s, "flow", "at_most"),
        Value("closed", hottest.closed, "count"),
        Value("stages", len(case.model.stages), "count"),
        Value("hottest", hottest.temperature_k, "temperature", "at_least"),
        Value("top_held" if top.held else "top", top.temperature_k, "temperature", "at_least"),
        Value("supply", case.band.volts.greatest, "voltage", "at_least"),
        *_limit_values(limit),
    ]
    if hottest.held:
        values.append(Value("cut_out", case.model.water.cut_out_k, "temperature", "at_least"))
    return (*values, *(_burn(judged_k, case.burns) if limit.passed(judged_k) else ()))


def _holds(top: Hottest, limit: _Limit, case: ThermalCase) -> tuple[Value, ...]:
    """Return up to which supply voltage the limit is kept; nothing where the cut-out or no voltage keeps it."""
    held = top.held and not limit.passed(top.judged_k)
    phases = case.site.supply.phases
    volts = holds_to_v(case.model, top.number, phases=phases, band=case.band, limit_k=limit.limit_k)
    return () if held or not volts else (Value("holds", volts, "voltage", "at_most"),)


def _limit_values(limit: _Limit) -> tuple[Value, ...]:
    return Value("fixture", limit.fixture.name, "text"), Value("limit", limit.limit_k, "temperature", "at_most")


def _burn(temperature_k: float, burns: Sequence[BurnTable]) -> tuple[Value, ...]:
    """Return how soon water of this temperature [K] burns; the last row of the table where it is hotter than all."""
    exposure = shortest_exposure(temperature_k, burns)
    return (
        Value("last_row" if exposure.beyond else "row", exposure.row.temperature_k, "temperature"),
        Value("qualifier", exposure.row.qualifier, "text"),
        Value("time", exposure.row.time_s, "time", "at_most"),
        Value("describes", exposure.table.describes, "text"),
    )


def _fixtures(limits: list[_Limit]) -> list[Fixture]:
    return [limit.fixture for limit in limits]


def _fit(limits: list[_Limit], plumbing: Plumbing) -> Lists:
    """Return at which of these fixtures a valve is to be fitted, and where something keeps it from working, what."""
    unsuited = [limit for limit in limits if limit.obstacles]
    found = [obstacle for limit in unsuited for obstacle in limit.obstacles]
    return {
        "suited": standards(_fixtures([limit for limit in limits if not limit.obstacles]), plumbing),
        "unsuited": named(_fixtures(unsuited)),
        "obstacles": coded("obstacle", found),
        "ways": ways(found),
        "then": standards(_fixtures(unsuited), plumbing),
    }


def _lower_stage(case: ThermalCase, limits: list[_Limit]) -> int | None:
    """Return the highest stage that keeps every limit over the band, when the model has a selector and there is one."""
    lowest_k = min(limit.limit_k for limit in limits)
    safe = [found.number for found in case.at_top if found.judged_k <= lowest_k]
    return max(safe) if case.model.stage_selector and safe else None


def _remedy(judged: str, limits: list[_Limit], plumbing: Plumbing) -> tuple[str, Lists]:
    """Return the case, parted by what helps, and the lists of valves. Where codes ask for one nothing replaces it."""
    checked = {"checked": standards(_fixtures(limits), plumbing)}
    bare = [limit for limit in limits if not limit.guarded]
    if judged == "within":
        return judged, {}
    if judged == "guarded" or not bare:
        return "guarded" if judged == "guarded" else "turned-up-guarded", checked
    coded_for = [fixture for fixture in _fixtures(bare) if code_limit(fixture, plumbing.limits)]
    if judged == "turned-up":
        return "turned-up-coded" if coded_for else judged, _fit(bare, plumbing)
    if judged == "measured":
        return judged, _fit(bare, plumbing)
    if judged == "band":
        return judged, {"suited": _fit(bare, plumbing)["suited"]}
    return "above-coded" if coded_for else judged, {**_fit(bare, plumbing), "coded": named(coded_for)}


def _by_range(case: ThermalCase, holds: tuple[Value, ...]) -> str:
    """Return the case where only the band passes a limit: whether a stated range of the supply can clear it."""
    cleared = any(float(value.value) >= case.band.volts.nominal for value in holds)
    return "band" if cleared else "band-any-supply"


def hottest_water_finding(case: ThermalCase) -> Finding:
    """Return the finding `hottest-water` of a site (severity as the module says)."""
    site, burns, summer_k = case.site, case.burns, case.season.warmest_k
    limits = list(_limits(case))
    lowest = min(limits, key=lambda limit: limit.limit_k)
    if summer_k >= lowest.limit_k:
        values = (Value("inlet", summer_k, "temperature"), *_limit_values(lowest), *_burn(summer_k, burns))
        source = shortest_exposure(summer_k, burns).table.source
        return HOTTEST.judge("warm-inlet", STOP, values, source=source).at(site.id)
    place = case.selected - 1
    top_k, turned_up_k = case.at_top[place].judged_k, case.at_top[-1].judged_k
    judged, concerned = _judge(case.hottest[place].judged_k, top_k, turned_up_k=turned_up_k, limits=limits)
    if measured := _passed_bare(case.met_k, limits):
        judged, concerned = "measured", measured
    place = -1 if judged == "turned-up" else place
    lowest = min(concerned, key=lambda limit: limit.limit_k)
    values = _values(case.hottest[place], case.at_top[place], lowest, case=case)
    name, lists = _remedy(judged, concerned, case.plumbing)
    if judged in ("within", "band"):
        values += (holds := _holds(case.at_top[place], lowest, case))
        name = _by_range(case, holds) if judged == "band" else name
    lower = _lower_stage(case, concerned) if judged in ("above", "band") else None
    if lower:
        values += (Value("lower", lower, "count"),)
    if judged == "measured" and case.met_k is not None:
        values += (Value("met", case.met_k, "temperature", "at_least"),)
    met_k = (case.at_top if judged == "band" else case.hottest)[-1].temperature_k
    source = sources(heating.BALANCE, shortest_exposure(met_k, burns).table.source)
    return HOTTEST.judge(name, _SEVERITIES[judged], values, lists=lists, source=source).at(site.id)
