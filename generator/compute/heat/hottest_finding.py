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

from generator.compute.finding import finding
from generator.compute.heat import balance as heating
from generator.compute.heat.burn import shortest_exposure
from generator.compute.heat.hottest import Hottest
from generator.compute.use.fixture_limit import fixture_limit_k, needs_limiting_valve
from generator.compute.use.valve_fit import SET_STOP, clearing, named, standards
from generator.compute.verdict.set_flow import selected_stage
from generator.model.figures import Finding, Sentence, Severity, Value
from generator.model.heater import HeaterModel
from generator.model.rules import Family
from generator.model.site import Fixture, Site

PROVE = (
    "Close the tap slowly and record the hottest reading with inlet and volts. It must not pass the site's table "
    "Hottest reading allowed today; behind a mixing valve its setting and its test count instead."
)
_WHY = (
    "Turning a tap down slows the water through the heater and makes it hotter, until a stage opens. A supply voltage "
    "above the one stated makes it hotter still, and the first water after a stop can be hotter, because hot elements "
    "go on heating the water that stands in the unit. Children and older people burn faster than the tables say."
)
_FOUND = (
    "Throttled to {flow}, with {closed} of {stages} stages closed and the warmest inlet, water can leave the heater "
    "at {hottest}; the limit at the {fixture} is {limit}."
)
_CUT_OUT = " Only the cut-out keeps it from growing hotter, and it senses late."
_BURN = " At {row} the burn table lists {qualifier} {time} ({describes})."
_BURN_BEYOND = " That is hotter than the burn table's last row, {row} with {qualifier} {time} ({describes})."


_INLET_FOUND = (
    "The water that enters reaches {inlet}, and the limit at the {fixture} is {limit}: it is too hot before the heater "
    "adds anything."
)
COOL_THE_FEED = (
    "Keep the heater off. Feed it with cooler water, or cool the water before it: no stage, flow or valve makes it "
    "cooler than it enters."
)


class _Limit(NamedTuple):
    """A fixture's limit temperature [K], and what keeps a mixing valve there from working with the heater, in words."""

    limit_k: float
    fixture: Fixture
    obstacles: tuple[str, ...]

    def passed(self, temperature_k: float) -> bool:
        return temperature_k > self.limit_k


def _judge(selected_k: float, greatest_k: float, limits: list[_Limit]) -> tuple[Severity, bool, list[_Limit]]:
    """Return the severity, whether only a turned-up selector passes a limit, and the limits concerned.

    `selected_k` is the hottest water [K] at the selected stage, `greatest_k` with every stage.
    """
    passed = [limit for limit in limits if limit.passed(selected_k)]
    unguarded = [limit for limit in passed if not limit.fixture.mixing_valve]
    if unguarded:
        return "stop", False, unguarded
    if passed:
        return "attention", False, passed
    turned_up = [limit for limit in limits if limit.passed(greatest_k)]
    return ("attention", True, turned_up) if turned_up else ("ok", False, limits)


def _sentence(hottest: Hottest, limit: _Limit, stages: int) -> Sentence:
    """Return what was found, with the burn time when the limit is passed."""
    values = (
        Value("flow", hottest.flow_m3_s, "flow", "down"),
        Value("closed", hottest.closed, "count"),
        Value("stages", stages, "count"),
        Value("hottest", hottest.temperature_k, "temperature", "up"),
        Value("fixture", limit.fixture.name, "text"),
        Value("limit", limit.limit_k, "temperature", "down"),
    )
    found = _FOUND.replace("{hottest}", "{hottest} or more") + _CUT_OUT if hottest.held else _FOUND
    if not limit.passed(hottest.judged_k):
        return Sentence(found, values)
    burn, times = _burn(hottest.judged_k)
    return Sentence(found + burn, (*values, *times))


def _warm_inlet(summer_k: float, limit: _Limit) -> Sentence:
    """Return what was found where the warmest inlet alone reaches a limit."""
    burn, times = _burn(summer_k)
    values = (
        Value("inlet", summer_k, "temperature", "up"),
        Value("fixture", limit.fixture.name, "text"),
        Value("limit", limit.limit_k, "temperature", "down"),
    )
    return Sentence(_INLET_FOUND + burn, (*values, *times))


def _burn(temperature_k: float) -> tuple[str, tuple[Value, ...]]:
    """Return how soon water of this temperature [K] burns, in words and values."""
    exposure = shortest_exposure(temperature_k)
    values = (
        Value("row", exposure.row.temperature_k, "temperature"),
        Value("qualifier", exposure.row.qualifier, "text"),
        Value("time", exposure.row.time_s, "time", "down"),
        Value("describes", exposure.table.describes, "text"),
    )
    return (_BURN_BEYOND if exposure.beyond else _BURN), values


def _fixtures(limits: list[_Limit]) -> list[Fixture]:
    return [limit.fixture for limit in limits]


def _fit(limits: list[_Limit], family: Family) -> str:
    """Return the order to fit a valve at each of these fixtures, and first what a valve there needs to work."""
    orders, fit, made = [], "a thermostatic mixing valve listed to", "made for instantaneous heaters and this flow"
    suited = _fixtures([limit for limit in limits if not limit.obstacles])
    unsuited = [limit for limit in limits if limit.obstacles]
    if suited:
        orders.append(f"Fit {fit} {standards(suited, family)}, {made}.")
    if unsuited:
        found = list(dict.fromkeys(words for limit in unsuited for words in limit.obstacles))
        fixtures = _fixtures(unsuited)
        orders.append(
            f"At the {named(fixtures)} a mixing valve does not work with this heater yet: {'; '.join(found)}. "
            f"{clearing(found)} Then fit {fit} {standards(fixtures, family)}, {made}."
        )
    return " ".join((*orders, SET_STOP))


def _lower_stage(hottest: tuple[Hottest, ...], model: HeaterModel, limits: list[_Limit]) -> int | None:
    """Return the highest stage that keeps every limit, when the model has a selector and there is one."""
    lowest_k = min(limit.limit_k for limit in limits)
    safe = [found.number for found in hottest if found.judged_k <= lowest_k]
    return max(safe) if model.stage_selector and safe else None


def _forbidden(limits: list[_Limit], family: Family, lower: int | None) -> str:
    """Return the remedy of a `stop`. Where codes ask for a valve nothing takes its place, so no `or` there."""
    fit, coded = _fit(limits, family), [fixture for fixture in _fixtures(limits) if needs_limiting_valve(fixture)]
    if coded:
        stage = f" Select stage {lower} or lower as well." if lower else ""
        at = named(coded)
        return f"{fit} Plumbing codes ask for the valve at the {at}; neither stages nor a fixed flow replace it.{stage}"
    stage = f" Or select stage {lower} or lower and keep others from turning the selector up." if lower else ""
    return f"{fit}{stage} Or fit an outlet with a fixed flow that users cannot turn down."


def _turned_up(limits: list[_Limit], family: Family) -> str:
    """Return the remedy where only a selector turned up passes a limit."""
    keep = "Keep the selector from being turned up"
    bare = [limit for limit in limits if not limit.fixture.mixing_valve]
    if not bare:
        return f"{keep}, and check that {_checked(limits, family)}."
    join = "Also" if any(needs_limiting_valve(fixture) for fixture in _fixtures(bare)) else "Or"
    return f"{keep}. {join}: {_fit(bare, family)}"


def _checked(limits: list[_Limit], family: Family) -> str:
    named_there = standards(_fixtures(limits), family)
    return f"the mixing valve is thermostatic, listed to {named_there}, and set to the limit or below"


def _remedy(severity: Severity, turned_up: bool, limits: list[_Limit], family: Family, lower: int | None) -> str:
    if severity == "ok":
        return PROVE
    if turned_up:
        return _turned_up(limits, family)
    if severity == "attention":
        return (
            f"Check that {_checked(limits, family)}; measure behind it at the lowest flow at which the heater heats, "
            "record it, and test it as its maker says."
        )
    return f"{_forbidden(limits, family, lower)} Until then keep the heater off."


def hottest_water_finding(
    site: Site,
    model: HeaterModel,
    hottest: tuple[Hottest, ...],
    summer_k: float,
    default_limit_k: float,
    family: Family,
    obstacles: Sequence[tuple[str, ...]],
) -> Finding:
    """Return the finding `hottest-water` of a site (severity as the module says).

    `hottest` as `scald.hottest_water` gives it at the warmest inlet `summer_k` [K], `default_limit_k` [K] for fixtures
    without a limit of their own, `family` of the site's code basis, which names the valve standards;
    `obstacles` at each fixture as `valve_fit.all_obstacles` gives them.
    """
    limits = [
        _Limit(fixture_limit_k(fixture, default_limit_k), fixture, found)
        for fixture, found in zip(site.fixtures, obstacles, strict=True)
    ]
    lowest = min(limits, key=lambda limit: limit.limit_k)
    if summer_k >= lowest.limit_k:
        found, source = _warm_inlet(summer_k, lowest), shortest_exposure(summer_k).table.document
        return finding(site, "hottest-water", "stop", (found.template, found.values), _WHY, COOL_THE_FEED, source)
    selected, greatest = hottest[selected_stage(site, model) - 1], hottest[-1]
    severity, turned_up, concerned = _judge(selected.judged_k, greatest.judged_k, limits)
    lowest = min(concerned, key=lambda limit: limit.limit_k)
    found = _sentence(greatest if turned_up else selected, lowest, len(model.stages))
    lower = _lower_stage(hottest, model, concerned)
    do = _remedy(severity, turned_up, concerned, family, lower)
    source = f"{heating.BALANCE}; {shortest_exposure(greatest.temperature_k).table.document}"
    return finding(site, "hottest-water", severity, (found.template, found.values), _WHY, do, source)
