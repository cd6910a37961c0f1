"""The limit temperature at a fixture: its own or the handbook's, but never above what plumbing codes allow its kind.

Severity of the finding `fixture-limit`, and why:
- `stop`: a limit stated above the code's where people bathe or the public washes hands: whoever relies on it holds
  water for safe that burns. The figures use the code's limit in its place.
- `attention`: a limit stated above what is advised where hands are washed at home; no code forbids it.
- `ok`: no limit stated is looser than that of its kind.
"""

from __future__ import annotations

from typing import NamedTuple

from generator.compute.finding import finding
from generator.model.figures import Finding, Severity, Value
from generator.model.site import Fixture, Site


class KindLimit(NamedTuple):
    """The greatest limit temperature [K] for a kind of fixture, who says so, and how grave a looser one is."""

    limit_k: float
    says: str
    source: str
    looser: Severity


_110_F_K, _120_F_K = (110.0 + 459.67) / 1.8, (120.0 + 459.67) / 1.8
_CODES, _ADVICE = "United States plumbing codes allow", "the United States safety commission advises"
_CPSC = "Consumer Product Safety Commission, document 5098, from memory"
# Greatest limit by kind. Service sinks and rinse bays have none: the work done there decides.
KIND_LIMITS: dict[str, KindLimit] = {
    "shower": KindLimit(_120_F_K, _CODES, "IPC (2021) 412.3 and UPC (2021) 408.3, from memory", "stop"),
    "tub": KindLimit(_120_F_K, _CODES, "IPC (2021) 412.5 (read) and UPC (2021) 409.4 (from memory)", "stop"),
    "public lavatory": KindLimit(
        _110_F_K, _CODES, "IPC (2021) 419.5, from memory, and 202, tempered water (read)", "stop"
    ),
    "lavatory": KindLimit(_120_F_K, _ADVICE, _CPSC, "attention"),
    "kitchen sink": KindLimit(_120_F_K, _ADVICE, _CPSC, "attention"),
}
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


def _looser(fixture: Fixture) -> tuple[bool, float] | None:
    """Return how much looser a stated limit is than its kind's, as (stop, by [K]); None where it is not."""
    kind = KIND_LIMITS.get(fixture.kind)
    if kind is None or fixture.limit_k is None or fixture.limit_k <= kind.limit_k + _SAME_K:
        return None
    return kind.looser == "stop", fixture.limit_k - kind.limit_k


def fixture_limit(site: Site) -> Finding:
    """Return `fixture-limit`: the stated limit that is loosest against the limit for its kind of fixture."""
    looser = [(found, fixture) for fixture in site.fixtures if (found := _looser(fixture)) is not None]
    if not looser:
        template, do = "No fixture's limit is looser than the limit for its kind.", "Check the limits that hold here."
        source = f"{KIND_LIMITS['shower'].source}; {KIND_LIMITS['public lavatory'].source}; {_CPSC}"
        return finding(site, "fixture-limit", "ok", (template, ()), _WHY, do, source)
    _, fixture = max(looser, key=lambda pair: pair[0])
    kind, stated_k = KIND_LIMITS[fixture.kind], fixture.limit_k or 0.0
    values = (
        Value("fixture", fixture.name, "text"),
        Value("stated", stated_k, "temperature", "up"),
        Value("kind", fixture.kind, "text"),
        Value("limit", kind.limit_k, "temperature", "down"),
    )
    template = f"The limit stated at the {{fixture}} is {{stated}}; {kind.says} no more than {{limit}} at a {{kind}}."
    do = "State the lower limit, or make sure that no one washes there with water this hot."
    if kind.looser == "stop":
        template += " The figures here use the lower one."
        do = "State the lower limit, set every valve to it, and settle the findings that then appear."
    return finding(site, "fixture-limit", kind.looser, (template, values), _WHY, do, kind.source)
