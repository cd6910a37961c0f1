"""What a site may publish where its supply does not fit the heater, or where no circuit may be built.

A heater of 120 V on 240 V takes four times its power for as long as it lasts; a flow window, an outlet, a breaker or a
current at that power would be a recipe for trying. Where the supply does not fit, only figures and findings that rest
on no power are published: those of KEPT and JUDGED. Every other figure has the state "stop" and the reason instead of a
value, and every other finding says that it was not judged: `attention`, to be judged once the supply fits. But
`hottest-water` is `stop`, since how hot the water gets is not known and unknown counts as too hot, and a stop of a
circuit that is there stays one: what is wrong with it can be wrong for any load.

Where the supply fits and no circuit may be built, the power that such a circuit would leave is not published.
"""

from __future__ import annotations

import re
from dataclasses import replace

from generator.compute.blank import blanked
from generator.compute.circuit.values import settle_first
from generator.compute.verdict.built import must_not_be_built, unfit_supply, voiding
from generator.model.figures import Finding, Sentence, Severity, Value
from generator.model.finding_rules import NOT_JUDGED, STOP_NOT_JUDGED, Rule
from generator.model.results import FlowWindow, SiteResult

# The figures that rest on no power at the supply: of the site and its stages, and of its water.
KEPT = re.compile(
    r"^site\.[^.]+\.(target|limit|torque|stage\.\d+\.(closes-at|opens-at|resistance)|water\.("
    r"boiling|expansion|greatest-flow|working-flow|wait|wasted|pressure-[a-z-]+|(cold|hot)-run-\d+\.[a-z]+|inlet\.[a-z]+"
    r"|stage\.\d+\.[a-z-]+|throttling\.[a-z0-9-]+\.[a-z]+|fixture\.\d+\.(flow|hot-share|power|target)))$"
)
# The findings that rest on none.
JUDGED = frozenset(
    (
        "supply-voltage",
        "supply-frequency",
        "supply-phases",
        "supply-neutral",
        "supply-system",
        "panel-spaces",
        "wiring-method",
        "agricultural-wiring",
        "heater-leads",
        "terminal-material",
        "disconnect",
        "enclosure",
        "limiter-marking",
        "residual-current-protection",
        "existing-circuits",
        "existing-neutral",
        "existing-poles",
        "inlet-limit",
        "inlet-year",
        "static-pressure",
        "working-pressure",
        "working-flow",
        "fixture-pressure",
        "pressure-sag",
        "filter-screen",
        "throttle-on-outlet",
        "hot-pipe-material",
        "cold-pipe-rating",
        "pipe-velocity",
        "mixed-metals",
        "thermal-expansion",
        "relief-valve",
        "fixture-flow-limit",
        "fixture-limit",
        "delivery",
        "hardness",
        "altitude",
        "shared-source",
        "electrical-edition",
        "on-file",
        "plumbing-edition",
    )
)
RULE = Rule(NOT_JUDGED, {NOT_JUDGED: ("cause",), STOP_NOT_JUDGED: ("cause",)}, stops=(NOT_JUDGED, STOP_NOT_JUDGED))


def publishable(result: SiteResult) -> SiteResult:
    """Return what may be published of a result: all of it where the supply fits and a circuit may be built."""
    cause = unfit_supply(result.findings)
    if cause is not None:
        return _without_power(result, cause)
    void = voiding(result.findings)
    if void is None or not must_not_be_built(result):
        return result
    reason = settle_first(void)
    return replace(result, circuits=blanked(result.circuits, reason), delivered=blanked(result.delivered, reason))


def _without_power(result: SiteResult, cause: Finding) -> SiteResult:
    blank, wet = blanked(result, settle_first(cause), KEPT), result.water
    return replace(
        blank,
        windows=tuple(_window(window, cause) for window in blank.windows),
        findings=waiting_for_power(result.findings),
        water=blank.water and replace(blank.water, findings=_each(wet.findings if wet else (), cause)),
    )


def waiting_for_power(findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Return the findings of a site; where its supply does not fit, those that rest on a power as not judged."""
    cause = unfit_supply(findings)
    return findings if cause is None else _each(findings, cause)


def _each(findings: tuple[Finding, ...], cause: Finding) -> tuple[Finding, ...]:
    return tuple(_finding(found, cause) for found in findings)


def _window(window: FlowWindow, cause: Finding) -> FlowWindow:
    why = Sentence("", (Value("cause", cause.rule, "text"),), "window-unfit-supply")
    return FlowWindow(window.number, window.least, window.greatest, why)


def _finding(found: Finding, cause: Finding) -> Finding:
    """Return a finding as not judged, with the words of that rule."""
    if found.rule in JUDGED:
        return found
    keeps = found.severity == "stop" and found.rule.startswith("existing-")
    severity: Severity = "stop" if keeps or found.rule == "hottest-water" else "attention"
    case, settle = STOP_NOT_JUDGED if keeps else NOT_JUDGED, (Value("cause", cause.rule, "text"),)
    return replace(
        RULE.judge(case, severity, settle, source=found.source).at(found.subject), id=found.id, rule=found.rule
    )
