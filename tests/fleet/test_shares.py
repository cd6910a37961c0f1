"""A share of the sites judged apart, on whatever machine: the verdicts of the whole."""

import datetime
import pickle
from dataclasses import replace
from pathlib import Path

import pytest

from generator.errors import InputFaults
from generator.fleet.shares import Judged, judge, shares
from generator.model.inputs import Inputs
from generator.read.handbook import read_handbook
from generator.render.check.programs import findings_codes
from tests.changes.project import copy_of_demo, edit
from tests.fleet.one_by_one import assess
from tests.frozen import DATA

DAY = datetime.date(2026, 11, 20)


def apart(inputs: Inputs, most: int, day: datetime.date = DAY) -> list[Judged]:
    """What is found by shares, each sent as bytes as to another machine."""
    return [judge(pickle.loads(pickle.dumps(one))) for one in shares(inputs, inputs.sites, day, most=most)]


def on_one_panel(inputs: Inputs) -> Inputs:
    """The demo with the first and the last site of one voltage on one panel, so that each bears on the other."""
    sites = list(inputs.sites)
    first = next(place for place, site in enumerate(sites) if site.supply.panel.id is None)
    last = max(place for place, site in enumerate(sites) if site.heater == sites[first].heater)
    if last == first:
        sites.append(sites[first].model_copy(update={"id": "another"}))
        last = len(sites) - 1
    for place in (first, last):
        panel = sites[first].supply.panel.model_copy(update={"id": "shed-panel"})
        supply = sites[place].supply.model_copy(update={"panel": panel})
        sites[place] = sites[place].model_copy(update={"supply": supply})
    return replace(inputs, sites=tuple(sites))


@pytest.mark.parametrize("most", [1, 2, 100])
@pytest.mark.parametrize("shared", [False, True])
def test_shares_say_what_the_whole_says(most: int, shared: bool) -> None:
    """The demo has a well that two sites share, visits, registers and decisions."""
    inputs = read_handbook(DATA)
    inputs = on_one_panel(inputs) if shared else inputs
    whole = list(assess(inputs, inputs.sites, DAY))
    found = apart(inputs, most)
    assert [line for one in found for line in one.lines] == [findings_codes(one) for one in whole]
    assert [stop for one in found for stop in one.stops] == [
        one.id for site in whole for one in site if one.severity == "stop" and not one.decided
    ]
    assert len(found) == -(-len(inputs.sites) // most) and {one.program for one in found} == {found[0].program}


def test_decisions_are_judged_on_the_day_that_is_asked_for() -> None:
    inputs, late = read_handbook(DATA), datetime.date(2030, 1, 1)
    found = [line for one in apart(inputs, 2, late) for line in one.lines]
    assert found == [findings_codes(one) for one in assess(inputs, inputs.sites, late)]
    assert found != [line for one in apart(inputs, 2) for line in one.lines], "a decision of the demo lapses by then"


def test_a_panel_that_sites_share_moves_a_verdict() -> None:
    """Without this the test above could not see a share that leaves the others on a panel out."""
    inputs = read_handbook(DATA)
    shared = on_one_panel(inputs)
    assert [one.lines for one in apart(shared, 1)] != [one.lines for one in apart(inputs, 1)]


def test_a_share_carries_no_more_than_its_sites_need() -> None:
    inputs = read_handbook(DATA)
    for one in shares(inputs, inputs.sites, DAY, most=1):
        (own,) = one.sites
        source = own.water.source
        beside = [
            site.id for site in inputs.sites if source and site.water.source and site.water.source.id == source.id
        ]
        assert [site.id for site in one.inputs.sites] == (beside or [own.id])
        assert {record.site for record in one.inputs.records} <= {own.id} and not one.inputs.places


def test_a_site_that_cannot_be_computed_is_told_and_hides_no_other(tmp_path: Path) -> None:
    folders = copy_of_demo(tmp_path, {"rill-3", "rill-4m"}, {"potting-shed", "seedling-house"})
    edit(folders, "sites/potting-shed.yaml", "copper-l, size: 1/2 in, length: 40", "copper-q, size: 1/2 in, length: 40")
    inputs = read_handbook(folders.data, folders.tables)
    (found,) = apart(inputs, 100)
    (refused,) = found.refused
    with pytest.raises(InputFaults) as told:
        list(assess(inputs, inputs.sites, DAY))
    (fault,) = told.value.faults
    assert (refused.site, refused.wrong, refused.expected) == ("potting-shed", fault.wrong, fault.expected)
    assert len(found.lines) == 1
