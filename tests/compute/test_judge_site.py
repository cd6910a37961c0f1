"""A site can be judged without a figure: rules take records of numbers."""

from __future__ import annotations

from dataclasses import replace

import pytest

from generator.compute.compute_all import compute
from generator.compute.site import compute_site, judge_site
from generator.model.figures import Figure
from generator.model.finding_rules import NOT_JUDGED, OWN_RULE
from generator.model.site import VoltageRange
from generator.read.handbook import read_handbook
from generator.rules import declared_rules
from tests.assemble.joint_sites import inputs
from tests.frozen import DATA
from tests.print.random_sites import random_views
from tests.sample import sample

KNOWN_BY = {"known_by": "utility statement", "document": "letter 4", "date": "2026-09-21"}
SITES = [site.id for site in inputs().sites]


@pytest.mark.parametrize("id_", SITES)
def test_what_is_judged_is_what_is_published(id_: str) -> None:
    given = inputs()
    site = next(one for one in given.sites if one.id == id_)
    shown = compute_site(site, given)
    assert judge_site(site, given) == (*shown.findings, *shown.measured)


@pytest.mark.parametrize("seed", range(sample(3, 100)))
def test_what_is_judged_of_any_site_is_what_is_published(seed: int) -> None:
    """Random heaters, supplies, pipes and fixtures on both families of codes; of one in two the supply is a range."""
    given = read_handbook(DATA)
    for number, (settings, view) in enumerate(random_views(given, 100 + seed, 10)):
        site = view.spec
        if number % 2:
            volts = site.supply.voltage_v
            known = {"least": f"{0.97 * volts:.3f} V", "greatest": f"{1.02 * volts:.3f} V", **KNOWN_BY}
            known_range = VoltageRange.model_validate(known)
            site = site.model_copy(update={"supply": site.supply.model_copy(update={"voltage_range": known_range})})
        others = (model for model in given.models if model.id != view.heater.id)
        inputs = replace(given, settings=settings, models=(view.heater, *others), sites=(site,), records=())
        shown = compute_site(site, inputs)
        assert judge_site(site, inputs) == (*shown.findings, *shown.measured), (seed, number)


@pytest.mark.parametrize("id_", SITES)
def test_no_figure_is_made(id_: str, monkeypatch: pytest.MonkeyPatch) -> None:
    given, made = inputs(), []
    site = next(one for one in given.sites if one.id == id_)
    first = Figure.__post_init__
    monkeypatch.setattr(Figure, "__post_init__", lambda figure: (made.append(figure), first(figure)))
    judge_site(site, given)
    assert not made
    compute_site(site, given)
    assert {f"site.{site.id}.target", f"site.{site.id}.window.1.least"} <= {figure.id for figure in made}


def test_every_rule_that_is_declared_is_judged_somewhere() -> None:
    """A rule that no story takes up would have its words, and nobody would ever read them."""
    found = {finding.rule for finding in compute(read_handbook(DATA)).findings}
    assert found == declared_rules().keys() - {NOT_JUDGED, OWN_RULE}, (
        "these stand for rules that wait, and for own ones"
    )
