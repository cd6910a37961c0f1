"""The limit temperature at a fixture: its own or the handbook's, but never above what plumbing codes allow its kind.

Severity of the finding `fixture-limit`, and why:
- `stop`: a limit stated above the code's where people bathe or the public washes hands: whoever relies on it holds
  water for safe that burns. The figures use the code's limit in its place.
- `attention`: a limit stated above what is advised where hands are washed at home, or a limit of the handbook above
  what is advised wherever a fixture states none of its own; no code forbids it.
- `ok`: no limit, stated or the handbook's, is looser than that.
"""

from __future__ import annotations

from typing import NamedTuple

from generator.compute.finding import finding, listed
from generator.compute.plumbing import plumbing
from generator.model.figures import Finding, Severity, Value
from generator.model.site import Fixture, Site
from generator.si import from_fahrenheit


class KindLimit(NamedTuple):
    """The greatest limit temperature [K] for a kind of fixture, who says so, and how grave a looser one is."""

    limit_k: float
    says: str
    source: str
    looser: Severity


_110_F_K, _120_F_K = from_fahrenheit(110.0), from_fahrenheit(120.0)
_CODES, _ADVICE = "the plumbing rules that this handbook goes by allow", "the United States safety commission advises"
_CPSC = "Consumer Product Safety Commission, document 5098, from memory"
# Greatest limit by kind. Service sinks and rinse bays have none: the work done there decides.
KIND_LIMITS: dict[str, KindLimit] = {
    "shower": KindLimit(_120_F_K, _CODES, plumbing("limit-shower"), "stop"),
    "tub": KindLimit(_120_F_K, _CODES, plumbing("limit-tub"), "stop"),
    "public lavatory": KindLimit(_110_F_K, _CODES, plumbing("limit-public-lavatory"), "stop"),
    "lavatory": KindLimit(_120_F_K, _ADVICE, _CPSC, "attention"),
    "kitchen sink": KindLimit(_120_F_K, _ADVICE, _CPSC, "attention"),
}
# What the handbook's own limit is held to, whatever the fixture.
_HANDBOOK = KindLimit(_120_F_K, _ADVICE, _CPSC, "attention")
_STATED = "The limit stated at the {fixture}"
# Two texts of one temperature, such as 48.89 degC and 120 degF, are not one float.
_SAME_K = 0.01

_WHY = (
    "Every figure and finding about scalding is held against the limit at the fixture: a limit that is too high calls "
    "water safe that burns. The rules that hold at the site may ask for less."
)


def needs_limiting_valve(fixture: Fixture) -> bool:
    """Return whether plumbing codes ask for a temperature limiting valve at this fixture, whatever heats the water.

    IPC (2021) 412.3 shower, 412.5 tub, 419.5 public hand washing (from memory).
    """
    return fixture.kind in KIND_LIMITS and KIND_LIMITS[fixture.kind].looser == "stop"


def fixture_limit_k(fixture: Fixture, default_limit_k: float) -> float:
    """Return the limit temperature [K] at a fixture: its own, else the default, held to the code's for its kind."""
    stated_k = default_limit_k if fixture.limit_k is None else fixture.limit_k
    return min(stated_k, KIND_LIMITS[fixture.kind].limit_k) if needs_limiting_valve(fixture) else stated_k


def _judged(fixture: Fixture, default_limit_k: float) -> tuple[float, KindLimit | None]:
    """Return the limit [K] that the fixture states or takes from the handbook, and what that is held to, if anything.

    A fixture's own limit may be as high as its kind allows; the handbook's, which nobody stated for the work done
    there, only as high as is advised.
    """
    if fixture.limit_k is None:
        return default_limit_k, _HANDBOOK
    return fixture.limit_k, KIND_LIMITS.get(fixture.kind)


def _looser(fixture: Fixture, default_limit_k: float) -> tuple[bool, float] | None:
    """Return how much looser a limit is than what it is held to, as (stop, by [K]); None where it is not."""
    limit_k, held_to = _judged(fixture, default_limit_k)
    if held_to is None or limit_k <= held_to.limit_k + _SAME_K:
        return None
    return held_to.looser == "stop", limit_k - held_to.limit_k


def _holding(fixtures: tuple[Fixture, ...], default_limit_k: float) -> tuple[str, tuple[Value, ...]]:
    """Return the words and values of the limit that holds at each fixture."""
    words = [f"{{held_{number}}} at the {{fixture_{number}}}" for number in range(len(fixtures))]
    values = [
        value
        for number, fixture in enumerate(fixtures)
        for value in (
            Value(f"held_{number}", fixture_limit_k(fixture, default_limit_k), "temperature", "down"),
            Value(f"fixture_{number}", fixture.name, "text"),
        )
    ]
    return f"The limit that holds is {listed(words)}.", tuple(values)


def fixture_limit(site: Site, default_limit_k: float) -> Finding:
    """Return `fixture-limit`: the limit that is loosest against what it is held to, and the one that holds at each."""
    holding, held = _holding(site.fixtures, default_limit_k)
    looser = [(by, fixture) for fixture in site.fixtures if (by := _looser(fixture, default_limit_k)) is not None]
    if not looser:
        template = f"No fixture's limit is looser than the limit for its kind. {holding}"
        source = f"{KIND_LIMITS['shower'].source}; {KIND_LIMITS['public lavatory'].source}; {_CPSC}"
        return finding(site, "fixture-limit", "ok", (template, held), _WHY, "Check the limits that hold here.", source)
    _, fixture = max(looser, key=lambda pair: pair[0])
    limit_k, held_to = _judged(fixture, default_limit_k)
    held_to = held_to or _HANDBOOK
    kind = "tap" if fixture.limit_k is None else fixture.kind
    values = (
        Value("fixture", fixture.name, "text"),
        Value("stated", limit_k, "temperature", "up"),
        Value("kind", kind, "text"),
        Value("limit", held_to.limit_k, "temperature", "down"),
    )
    whose = "The handbook's limit, which the {fixture} takes," if fixture.limit_k is None else _STATED
    template = f"{whose} is {{stated}}; {held_to.says} no more than {{limit}} at a {{kind}}. {holding}"
    do = "State the lower limit, or make sure that no one washes there with water this hot."
    if held_to.looser == "stop":
        do = "State the lower limit, set every valve to it, and settle the findings that then appear."
    if fixture.limit_k is None:
        do = "Lower limit_temperature in handbook.yaml, and state a limit of its own where work needs hotter water."
    return finding(site, "fixture-limit", held_to.looser, (template, values + held), _WHY, do, held_to.source)
