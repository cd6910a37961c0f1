"""The limit temperature at a fixture: its own or the handbook's, but never above what plumbing codes allow its kind.

Severity of the finding `fixture-limit`, and why:
- `stop`: a limit stated above the code's where people bathe or the public washes hands: whoever relies on it holds
  water for safe that burns. The figures use the code's limit in its place.
- `attention`: a limit stated above what is advised where hands are washed at home, or a limit of the handbook above
  what is advised wherever a fixture states none of its own; no code forbids it.
- `ok`: no limit, stated or the handbook's, is looser than that.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

from generator.compute.plumbing import plumbing
from generator.model.figures import Finding, Row, Severity, Value
from generator.model.finding_rules import Rule
from generator.model.heater import HeaterModel
from generator.model.site import Fixture, Site
from generator.si import from_fahrenheit


@dataclass(frozen=True, slots=True)
class Limits:
    """Temperatures [K] that the water at a site is held to: the target to reach, and the site's limit and the model's
    greatest outlet, not to pass."""

    target_k: float
    limit_k: float
    greatest_outlet_k: float

    @property
    def allowed_k(self) -> float:
        """The hottest water allowed [K]."""
        return min(self.limit_k, self.greatest_outlet_k)


class KindLimit(NamedTuple):
    """The greatest limit temperature [K] for a kind of fixture, who says so, and how grave a looser one is."""

    limit_k: float
    source: str
    looser: Severity


_110_F_K, _120_F_K = from_fahrenheit(110.0), from_fahrenheit(120.0)
_CPSC = "Consumer Product Safety Commission, document 5098, from memory"
# Greatest limit by kind. Service sinks and rinse bays have none: the work done there decides.
KIND_LIMITS: dict[str, KindLimit] = {
    "shower": KindLimit(_120_F_K, plumbing("limit-shower"), "stop"),
    "tub": KindLimit(_120_F_K, plumbing("limit-tub"), "stop"),
    "public lavatory": KindLimit(_110_F_K, plumbing("limit-public-lavatory"), "stop"),
    "lavatory": KindLimit(_120_F_K, _CPSC, "attention"),
    "kitchen sink": KindLimit(_120_F_K, _CPSC, "attention"),
}
# What the handbook's own limit is held to, whatever the fixture.
_HANDBOOK = KindLimit(_120_F_K, _CPSC, "attention")
# Two texts of one temperature, such as 48.89 degC and 120 degF, are not one float.
_SAME_K = 0.01

LOOSER = ("fixture", "stated", "kind", "limit")
LIMIT = Rule(
    "fixture-limit",
    {
        "held": (),
        "above-rules": LOOSER,
        "above-advice": LOOSER,
        "handbook-above-advice": ("fixture", "stated", "limit"),
    },
    lists={"held": ("limit", "fixture")},
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


def limits(site: Site, model: HeaterModel, default_limit_k: float) -> Limits:
    """Return what the water is held to: the hottest target that a fixture asks for, and the lowest of their limits."""
    target_k = max(fixture.target_k for fixture in site.fixtures)
    limit_k = min(fixture_limit_k(fixture, default_limit_k) for fixture in site.fixtures)
    return Limits(target_k, limit_k, model.water.greatest_outlet_k)


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


def _holding(site: Site, default_limit_k: float) -> Iterator[Row]:
    """Yield the limit that holds at each fixture."""
    for fixture in site.fixtures:
        limit_k = fixture_limit_k(fixture, default_limit_k)
        yield {
            "limit": Value("limit", limit_k, "temperature", "down"),
            "fixture": Value("fixture", fixture.name, "text"),
        }


def fixture_limit(site: Site, default_limit_k: float) -> Finding:
    """Return `fixture-limit`: the limit that is loosest against what it is held to, and the one that holds at each."""
    lists = {"held": tuple(_holding(site, default_limit_k))}
    looser = [(by, fixture) for fixture in site.fixtures if (by := _looser(fixture, default_limit_k)) is not None]
    if not looser:
        source = f"{KIND_LIMITS['shower'].source}; {KIND_LIMITS['public lavatory'].source}; {_CPSC}"
        return LIMIT.judge("held", "ok", lists=lists, source=source).at(site.id)
    _, fixture = max(looser, key=lambda pair: pair[0])
    limit_k, held_to = _judged(fixture, default_limit_k)
    held_to = held_to or _HANDBOOK
    values = [
        Value("fixture", fixture.name, "text"),
        Value("stated", limit_k, "temperature", "up"),
        Value("limit", held_to.limit_k, "temperature", "down"),
    ]
    case = "handbook-above-advice"
    if fixture.limit_k is not None:
        values.append(Value("kind", fixture.kind, "text"))
        case = "above-rules" if held_to.looser == "stop" else "above-advice"
    return LIMIT.judge(case, held_to.looser, tuple(values), lists=lists, source=held_to.source).at(site.id)
