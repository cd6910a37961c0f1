"""The finding `hottest-water`: can a user who turns a tap down be burned, and what to do about it.

Severity, and why:
- `stop`: the warmest inlet alone reaches a fixture's limit: nothing at the heater, and no valve, makes it cooler. Or
  the hottest water passes the limit of a fixture without a mixing valve. Turning a tap down is ordinary use,
  nothing stands between that water and skin, and near 140 degF a burn takes seconds; a notice cannot guard against it.
- `attention`: it passes the limit only of fixtures with a mixing valve: safe while the valve is set, works and is
  tested, which someone must do. Or it keeps every limit at the selected stage alone: safe while no one turns the
  selector up.
- `ok`: it passes no fixture's limit at any stage that can be selected.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from generator.compute.heat import balance as heating
from generator.compute.heat.burn import shortest_exposure
from generator.compute.heat.case import ThermalCase
from generator.compute.heat.hottest import Hottest
from generator.compute.severity import ATTENTION, OK, STOP
from generator.compute.use.fixture_limit import fixture_limit_k, needs_limiting_valve
from generator.compute.use.valve_fit import OBSTACLES, WAYS, coded, named, standards, ways
from generator.model.burns import BurnTable
from generator.model.figures import Finding, Row, Value
from generator.model.finding_rules import Rule
from generator.model.heater import HeaterModel
from generator.model.site import Fixture

_BURN = ("row", "last_row", "qualifier", "time", "describes")
_FOUND = ("flow", "closed", "stages", "hottest", "cut_out", "fixture", "limit", *_BURN)
HOTTEST = Rule(
    "hottest-water",
    {
        "warm-inlet": ("inlet", "fixture", "limit", *_BURN),
        "within": _FOUND,
        "guarded": _FOUND,
        "turned-up": _FOUND,
        "turned-up-coded": _FOUND,
        "turned-up-guarded": _FOUND,
        "above": (*_FOUND, "lower"),
        "above-coded": (*_FOUND, "lower"),
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
)

_SEVERITIES = {"within": OK, "guarded": ATTENTION, "turned-up": ATTENTION, "above": STOP}
Lists = dict[str, tuple[Row, ...]]


class _Limit(NamedTuple):
    """A fixture's limit temperature [K], and what keeps a mixing valve there from working with the heater."""

    limit_k: float
    fixture: Fixture
    obstacles: tuple[str, ...]

    def passed(self, temperature_k: float) -> bool:
        return temperature_k > self.limit_k


def _judge(selected_k: float, greatest_k: float, limits: list[_Limit]) -> tuple[str, list[_Limit]]:
    """Return the case, as far as the remedy does not part it, and the limits concerned.

    `selected_k` is the hottest water [K] at the selected stage, `greatest_k` with every stage.
    """
    passed = [limit for limit in limits if limit.passed(selected_k)]
    unguarded = [limit for limit in passed if not limit.fixture.mixing_valve]
    if unguarded:
        return "above", unguarded
    if passed:
        return "guarded", passed
    turned_up = [limit for limit in limits if limit.passed(greatest_k)]
    return ("turned-up", turned_up) if turned_up else ("within", limits)


def _values(hottest: Hottest, limit: _Limit, model: HeaterModel, *, burns: Sequence[BurnTable]) -> tuple[Value, ...]:
    """Return what was found, with the burn time when the limit is passed."""
    values = [
        Value("flow", hottest.flow_m3_s, "flow", "down"),
        Value("closed", hottest.closed, "count"),
        Value("stages", len(model.stages), "count"),
        Value("hottest", hottest.temperature_k, "temperature", "up"),
        *_limit_values(limit),
    ]
    if hottest.held:
        values.append(Value("cut_out", model.water.cut_out_k, "temperature", "up"))
    return (*values, *(_burn(hottest.judged_k, burns) if limit.passed(hottest.judged_k) else ()))


def _limit_values(limit: _Limit) -> tuple[Value, ...]:
    return Value("fixture", limit.fixture.name, "text"), Value("limit", limit.limit_k, "temperature", "down")


def _burn(temperature_k: float, burns: Sequence[BurnTable]) -> tuple[Value, ...]:
    """Return how soon water of this temperature [K] burns; the last row of the table where it is hotter than all."""
    exposure = shortest_exposure(temperature_k, burns)
    return (
        Value("last_row" if exposure.beyond else "row", exposure.row.temperature_k, "temperature"),
        Value("qualifier", exposure.row.qualifier, "text"),
        Value("time", exposure.row.time_s, "time", "down"),
        Value("describes", exposure.table.describes, "text"),
    )


def _fixtures(limits: list[_Limit]) -> list[Fixture]:
    return [limit.fixture for limit in limits]


def _fit(limits: list[_Limit], code_held: bool) -> Lists:
    """Return at which of these fixtures a valve is to be fitted, and where something keeps it from working, what."""
    unsuited = [limit for limit in limits if limit.obstacles]
    found = [obstacle for limit in unsuited for obstacle in limit.obstacles]
    return {
        "suited": standards(_fixtures([limit for limit in limits if not limit.obstacles]), code_held),
        "unsuited": named(_fixtures(unsuited)),
        "obstacles": coded("obstacle", found),
        "ways": ways(found),
        "then": standards(_fixtures(unsuited), code_held),
    }


def _lower_stage(hottest: tuple[Hottest, ...], model: HeaterModel, limits: list[_Limit]) -> int | None:
    """Return the highest stage that keeps every limit, when the model has a selector and there is one."""
    lowest_k = min(limit.limit_k for limit in limits)
    safe = [found.number for found in hottest if found.judged_k <= lowest_k]
    return max(safe) if model.stage_selector and safe else None


def _remedy(case: str, limits: list[_Limit], code_held: bool) -> tuple[str, Lists]:
    """Return the case, parted by what helps, and the lists of valves. Where codes ask for one nothing replaces it."""
    checked = {"checked": standards(_fixtures(limits), code_held)}
    bare = [limit for limit in limits if not limit.fixture.mixing_valve]
    if case == "within":
        return case, {}
    if case == "guarded" or not bare:
        return "guarded" if case == "guarded" else "turned-up-guarded", checked
    coded_for = [fixture for fixture in _fixtures(bare) if needs_limiting_valve(fixture)]
    if case == "turned-up":
        return "turned-up-coded" if coded_for else case, _fit(bare, code_held)
    return "above-coded" if coded_for else case, {**_fit(bare, code_held), "coded": named(coded_for)}


def hottest_water_finding(case: ThermalCase) -> Finding:
    """Return the finding `hottest-water` of a site (severity as the module says)."""
    site, model, hottest, burns = case.site, case.model, case.hottest, case.burns
    summer_k = case.season.warmest_k
    limits = [
        _Limit(fixture_limit_k(fixture, case.default_limit_k), fixture, found)
        for fixture, found in zip(site.fixtures, case.obstacles, strict=True)
    ]
    lowest = min(limits, key=lambda limit: limit.limit_k)
    if summer_k >= lowest.limit_k:
        values = (Value("inlet", summer_k, "temperature", "up"), *_limit_values(lowest), *_burn(summer_k, burns))
        source = shortest_exposure(summer_k, burns).table.source
        return HOTTEST.judge("warm-inlet", STOP, values, source=source).at(site.id)
    selected, greatest = hottest[case.selected - 1], hottest[-1]
    judged, concerned = _judge(selected.judged_k, greatest.judged_k, limits)
    lowest = min(concerned, key=lambda limit: limit.limit_k)
    values = _values(greatest if judged == "turned-up" else selected, lowest, model, burns=burns)
    remedy, lists = _remedy(judged, concerned, case.code_held)
    lower = _lower_stage(hottest, model, concerned) if judged == "above" else None
    if lower:
        values += (Value("lower", lower, "count"),)
    source = f"{heating.BALANCE}; {shortest_exposure(greatest.temperature_k, burns).table.source}"
    return HOTTEST.judge(remedy, _SEVERITIES[judged], values, lists=lists, source=source).at(site.id)
