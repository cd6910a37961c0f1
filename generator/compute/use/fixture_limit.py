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

from generator.compute.plumbing import plumbing
from generator.compute.severity import ATTENTION, OK, STOP
from generator.model.figures import Finding, Row, Value
from generator.model.finding_rules import Rule
from generator.model.heater import HeaterModel
from generator.model.site import FIXTURE_KINDS, SAME_K, Fixture, Site
from generator.model.tables.plumbing import PlumbingLimits, TemperatureLimit


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
    choices={"kind": FIXTURE_KINDS},
    stops=("above-rules",),
)


def code_limit(fixture: Fixture, code: PlumbingLimits) -> TemperatureLimit | None:
    """Return the limit that the plumbing code sets for the kind of fixture; None where it sets none or only advises.

    Where it sets one it asks for a temperature limiting valve, whatever heats the water.
    """
    held = code.temperatures.get(fixture.kind)
    return None if held is None or held.advised else held


def fixture_limit_k(fixture: Fixture, default_limit_k: float, code: PlumbingLimits) -> float:
    """Return the limit temperature [K] at a fixture: its own, else the default, held to the code's for its kind."""
    stated_k, held = default_limit_k if fixture.limit_k is None else fixture.limit_k, code_limit(fixture, code)
    return stated_k if held is None else min(stated_k, held.at_most_k)


def limits(site: Site, model: HeaterModel, default_limit_k: float, *, code: PlumbingLimits) -> Limits:
    """Return what the water is held to: the hottest target that a fixture asks for, and the lowest of their limits."""
    target_k = max(fixture.target_k for fixture in site.fixtures)
    limit_k = min(fixture_limit_k(fixture, default_limit_k, code) for fixture in site.fixtures)
    return Limits(target_k, limit_k, model.water.greatest_outlet_k)


def _judged(fixture: Fixture, default_limit_k: float, code: PlumbingLimits) -> tuple[float, TemperatureLimit | None]:
    """Return the limit [K] that the fixture states or takes from the handbook, and what that is held to, if anything.

    A fixture's own limit may be as high as its kind allows; the handbook's, which nobody stated for the work done
    there, only as high as is advised.
    """
    if fixture.limit_k is None:
        return default_limit_k, code.handbook_temperature
    return fixture.limit_k, code.temperatures.get(fixture.kind)


def _looser(fixture: Fixture, default_limit_k: float, code: PlumbingLimits) -> tuple[bool, float] | None:
    """Return how much looser a limit is than what it is held to, as (stop, by [K]); None where it is not."""
    limit_k, held_to = _judged(fixture, default_limit_k, code)
    if held_to is None or limit_k <= held_to.at_most_k + SAME_K:
        return None
    return not held_to.advised, limit_k - held_to.at_most_k


def _holding(site: Site, default_limit_k: float, code: PlumbingLimits) -> Iterator[Row]:
    """Yield the limit that holds at each fixture."""
    for fixture in site.fixtures:
        limit_k = fixture_limit_k(fixture, default_limit_k, code)
        yield {
            "limit": Value("limit", limit_k, "temperature", "at_most"),
            "fixture": Value("fixture", fixture.name, "text"),
        }


def fixture_limit(site: Site, default_limit_k: float, code: PlumbingLimits) -> Finding:
    """Return `fixture-limit`: the limit that is loosest against what it is held to, and the one that holds at each."""
    lists = {"held": tuple(_holding(site, default_limit_k, code))}
    looser = [(by, fixture) for fixture in site.fixtures if (by := _looser(fixture, default_limit_k, code))]
    if not looser:
        held = (code.temperatures["shower"], code.temperatures["public lavatory"], code.handbook_temperature)
        source = "; ".join(plumbing(one.rule) for one in held)
        return LIMIT.judge("held", OK, lists=lists, source=source).at(site.id)
    _, fixture = max(looser, key=lambda pair: pair[0])
    limit_k, held_to = _judged(fixture, default_limit_k, code)
    held_to = held_to or code.handbook_temperature
    values = [
        Value("fixture", fixture.name, "text"),
        Value("stated", limit_k, "temperature", "at_least"),
        Value("limit", held_to.at_most_k, "temperature", "at_most"),
    ]
    case = "handbook-above-advice"
    if fixture.limit_k is not None:
        values.append(Value("kind", fixture.kind, "text"))
        case = "above-advice" if held_to.advised else "above-rules"
    severity, source = ATTENTION if held_to.advised else STOP, plumbing(held_to.rule)
    return LIMIT.judge(case, severity, tuple(values), lists=lists, source=source).at(site.id)
