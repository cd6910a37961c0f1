"""Every electrical rule that can stop a heater raises the notice about its circuit, on the site's page and the card."""

from pathlib import Path

import pytest

from generator.compute.active_notices import site_notices
from generator.model.content.notices import Notice
from generator.model.figures import Finding, Sentence
from generator.model.tables.clauses import FINDINGS
from generator.read.content.notices import read_notices
from tests.compute.circuit_cases import basis, demo_model
from tests.compute.test_circuit_findings import BROKEN_IEC, BROKEN_US
from tests.compute.test_notices import a_result, a_site

ELECTRICAL = {*FINDINGS["nfpa70"], *FINDINGS["iec60364"]}
STOPPING = {rule for rule, severity, *_ in [*BROKEN_US, *BROKEN_IEC] if severity == "stop"}
# The rules that ask for attention at most.
NEVER_STOP = {
    "supply-frequency",
    "voltage-drop",
    "ground-fault-protection",
    "arc-fault-protection",
    "limiter-marking",
    "marked-device",
}
NOTICES: dict[str, Notice] = {one.id: one for one in read_notices(Path(__file__).parents[2] / "content")}


def test_each_electrical_rule_is_known_to_stop_or_never_to() -> None:
    assert STOPPING | NEVER_STOP == ELECTRICAL
    assert not STOPPING & NEVER_STOP


@pytest.mark.parametrize("rule", sorted(ELECTRICAL - NEVER_STOP))
@pytest.mark.parametrize("target", ["site", "card"])
def test_a_stop_about_the_circuit_raises_its_notice(rule: str, target: str) -> None:
    stop = Finding(f"x.{rule}", rule, "stop", "x", Sentence("Found."), Sentence("why"), Sentence("do"), "source")
    result = a_result(320.0, 322.0, stop)
    found = site_notices(
        a_site(), demo_model("rill-3"), result, notices=tuple(NOTICES.values()), basis=basis("us"), target=target
    )
    (raised,) = (active for active in found if active.notice.id == "circuit-finding")
    assert raised.because.template


@pytest.mark.parametrize("target", ["site", "card"])
@pytest.mark.parametrize(("heater", "shown"), [("rill-3", True), ("rill-4m", True), ("beck-9", False)])
def test_that_a_neutral_is_no_ground_is_told_where_there_is_one(target: str, heater: str, shown: bool) -> None:
    notices = tuple(NOTICES.values())
    found = site_notices(a_site(), demo_model(heater), a_result(), notices=notices, basis=basis("us"), target=target)
    assert ("neutral-is-not-ground" in {active.notice.id for active in found}) == shown
