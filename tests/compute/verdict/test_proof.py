"""When a figure no longer stands as it was proved, by hand: to which side, and by how much a copy may be off."""

from __future__ import annotations

import pytest

from generator.compute.verdict.proof import lapse
from generator.model.figures import Figure, Value
from generator.model.readings import Proved


def proved(value: float, kind: str) -> Proved:
    return Proved("as printed", Value("at", value, kind))


@pytest.mark.parametrize(
    ("name", "kind", "bound", "then", "now", "why"),
    [
        ("limit", "temperature", "at_most", 322.0, 322.1, None),  # a limit is worse below
        ("limit", "temperature", "at_most", 322.0, 321.9, "worse"),
        ("hottest.2", "temperature", "at_least", 322.0, 322.1, "worse"),
        # Printed to the nearest 10 W: a copy may be 5 W off, and no more.
        ("stage.1.power", "power", "neither", 9000.0, 9004.0, None),
        ("stage.1.power", "power", "neither", 9000.0, 9006.0, "worse"),
        # A torque has no worse side: within a hundredth of itself it is the one that was copied.
        ("torque", "torque", "neither", 2.0, 2.015, None),
        ("torque", "torque", "neither", 2.0, 2.03, "another"),
        ("torque", "torque", "neither", 2.0, 1.97, "another"),
        # What is no quantity of those that are rounded may not be off at all on its worse side.
        ("supply.greatest", "energy", "neither", 1000.0, 1000.4, "worse"),
        ("supply.greatest", "energy", "neither", 1000.0, 1000.0, None),
        ("limit", "pressure", "at_most", 322.0, 322.0, "kind"),
    ],
)
def test_a_proof_lapses_on_the_worse_side(
    name: str, kind: str, bound: str, then: float, now: float, why: str | None
) -> None:
    copied = proved(then, "temperature" if why == "kind" else kind)
    figure = Figure("x", "X", now, kind, bound)  # type: ignore[arg-type]
    assert lapse(name, copied, figure) == ("another" if why == "kind" else why)


def test_what_is_gone_or_may_not_be_used_is_another() -> None:
    assert lapse("limit", proved(322.0, "temperature"), None) == "another"
    none = Figure("x", "X", None, "temperature", state="none")
    assert lapse("limit", proved(322.0, "temperature"), none) == "another"
    above = Figure("x", "X", 322.0, "temperature", state="above-limit")
    assert lapse("limit", proved(322.0, "temperature"), above) == "another"
    size = Figure("x", "X", "8 AWG", "text")
    assert lapse("circuit.a.conductor", Proved("8 AWG", None), size) is None
    assert lapse("circuit.a.conductor", Proved("6 AWG", None), size) == "another"
