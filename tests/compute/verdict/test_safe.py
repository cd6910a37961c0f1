"""What is not known is never safe: water too hot, circuits that must not be built, heaters that stay off."""

from __future__ import annotations

from dataclasses import replace

import pytest

from generator.compute.verdict.built import VOIDING, must_not_be_built, unfit_supply, voiding
from generator.compute.verdict.off import stays_off
from generator.compute.verdict.set_flow import has_window
from generator.compute.verdict.too_hot import too_hot
from generator.model.figures import Decided, Figure, Finding, Sentence, Severity, Value
from generator.model.results import SiteResult
from tests.compute.test_delivered import inputs, result


def _figure(value: float | None, state: str = "ok") -> Figure:
    return Figure("x", "Water", value, "temperature", state=state)


@pytest.mark.parametrize(
    ("hottest", "limit", "answer"),
    [
        (_figure(322.0), _figure(322.0), False),
        (_figure(322.001), _figure(322.0), True),
        (_figure(None, "stop"), _figure(322.0), True),
        (_figure(300.0), _figure(None), True),
        (_figure(300.0, "at-cut-out"), _figure(322.0), True),
        (_figure(300.0), _figure(322.0, "stop"), True),
    ],
)
def test_too_hot(hottest: Figure, limit: Figure, answer: bool) -> None:
    assert too_hot(hottest, limit) is answer


AT = Value("at", 328.7, "temperature")
BY = Decided("accepted", "farm manager", "a mixing valve is on order", "2026-11-02", "2026-12-15", "", (AT,))


def _stop(rule: str, accepted: Decided | None = None, severity: Severity = "stop") -> Finding:
    said = Sentence("Said.")
    return Finding(f"x.{rule}", rule, severity, "x", said, said, said, "source", accepted)


def _with(*findings: Finding) -> SiteResult:
    return replace(result("farm-stand"), findings=findings)


@pytest.mark.parametrize("accepted", [None, BY])
@pytest.mark.parametrize("rule", VOIDING)
def test_a_stop_that_voids_the_circuit_keeps_the_heater_off_accepted_or_not(
    rule: str, accepted: Decided | None
) -> None:
    found = _with(_stop(rule, accepted), _stop("hottest-water", BY))
    assert must_not_be_built(found)
    assert voiding(found.findings) == found.findings[0]
    assert (unfit_supply(found.findings) is None) == (not rule.startswith("supply"))
    assert stays_off(found) == found.findings
    attention = _with(_stop(rule, severity="attention"))
    assert not must_not_be_built(attention) and not stays_off(attention)


def test_a_circuit_without_a_device_must_not_be_built() -> None:
    found = _with()
    (circuit,) = found.circuits
    for device in (replace(circuit.device, value=None), replace(circuit.device, state="stop")):
        assert must_not_be_built(replace(found, circuits=(replace(circuit, device=device),)))
    assert not must_not_be_built(found)


def test_a_heater_stays_off_for_the_stops_that_nobody_accepted_and_then_has_no_window() -> None:
    accepted, open_ = _stop("hottest-water", BY), _stop("working-pressure")
    site = next(one for one in inputs().sites if one.id == "packing-house")
    model, found = inputs().model(site.heater), result("packing-house")
    for findings, off in (((), ()), ((accepted,), ()), ((accepted, open_), (open_,))):
        judged = replace(found, findings=findings)
        assert stays_off(judged) == off
        assert has_window(judged, site, model) == (not off)
