"""What a site has not on file is an open point that names it, and a line to fill by hand on its page."""

from __future__ import annotations

import pytest

from generator.build import Loaded
from generator.compute.on_file import WANTED, on_file
from generator.model.figures import Finding
from generator.model.site import Site
from generator.model.site_contacts import Contacts, Shutoffs
from tests.compute.wet_cases import model, site
from tests.finding_texts import said

FULL = site("packing-house")
_UNNAMED = FULL.supply.model_copy(update={"panel": FULL.supply.panel.model_copy(update={"label": None})})
LACKING = {
    "emergency-number": {"contacts": Contacts(maintenance="555-0142")},
    "maintenance-number": {"contacts": Contacts(emergency="911")},
    "panel-label": {"supply": _UNNAMED},
    "circuit-number": {"circuit_numbers": {}},
    "power-shutoff": {"shutoffs": Shutoffs(water="below")},
    "water-shutoff": {"shutoffs": Shutoffs(power="beside")},
    "serial-number": {"serial_number": None},
}


def judged(changes: dict[str, object]) -> Finding:
    return on_file(FULL.model_copy(update=changes), model("beck-9"))


def missing(finding: Finding) -> list[str]:
    return [str(row["what"].value) for row in finding.lists["missing"]]


def test_a_site_with_all_of_it_has_nothing_open() -> None:
    found = judged({})
    assert (found.severity, found.case, missing(found)) == ("ok", "complete", [])


@pytest.mark.parametrize("what", WANTED)
def test_each_thing_that_is_missing_is_named(what: str) -> None:
    found = judged(LACKING[what])
    assert (found.severity, found.case, missing(found)) == ("attention", "missing", [what])
    assert said(found, "short").endswith(f"{said(found).removeprefix('Not on file: ')}")


def test_every_feed_needs_its_number() -> None:
    creamery: Site = site("creamery")
    assert "circuit-number" not in missing(on_file(creamery, model("tarn-18")))
    one = creamery.model_copy(update={"circuit_numbers": {"A": "20, 22, 24"}})
    assert "circuit-number" in missing(on_file(one, model("tarn-18")))


def test_the_demo_shows_both(loaded: Loaded) -> None:
    cases = {one.subject: one.case for one in loaded.results.findings if one.rule == "on-file"}
    assert set(cases.values()) == {"complete", "missing"} and len(cases) == len(loaded.book.sites)
