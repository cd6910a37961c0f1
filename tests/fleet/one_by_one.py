"""Sites judged one after the other, in the plainest way: what shares of them are held against."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator

from generator.compute.site import judge_site
from generator.compute.verdict.decisions import on_day
from generator.errors import CannotCompute, Fault, InputFaults
from generator.model.figures import Finding
from generator.model.inputs import Inputs
from generator.model.site import Site


def assess(inputs: Inputs, sites: Iterable[Site], day: datetime.date | None) -> Iterator[tuple[Finding, ...]]:
    """Yield the findings of each of `sites` as decisions stand on a day, one site after the other.

    InputFaults for the sites that cannot be computed, once all others are judged.
    """
    faults: list[Fault] = []
    for site in sites:
        try:
            found = judge_site(site, inputs)
        except CannotCompute as refusal:
            faults.append(inputs.fault(("site", site.id), refusal))
        else:
            yield tuple(on_day(one, day) for one in found)
    if faults:
        raise InputFaults(faults)
