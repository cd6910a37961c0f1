"""What is computed of each heater and site, one after the other and without a word: as a fleet is handed on."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass
from functools import partial
from itertools import chain

from generator.compute.model import compute_model
from generator.compute.site import compute_site
from generator.compute.verdict.decisions import on_day
from generator.errors import CannotCompute, Fault, InputFaults
from generator.model.documents.walk import walk
from generator.model.figures import Figure, Finding
from generator.model.heater import HeaterModel
from generator.model.inputs import Inputs
from generator.model.site import Site


@dataclass(frozen=True, slots=True)
class Computed:
    """The findings and figures of a subject: the id of a site, or `model.<id>`; each figure once."""

    subject: str
    findings: tuple[Finding, ...]
    figures: tuple[Figure, ...]


def computed(inputs: Inputs, sites: Collection[Site], day: datetime.date | None) -> Iterator[Computed]:
    """Yield what follows for the heaters of `sites`, then for each of `sites`, as decisions stand on a day.

    InputFaults for those that cannot be computed, once all others are.
    """
    heaters = {site.heater for site in sites}
    faults: list[Fault] = []
    work: Iterator[tuple[tuple[str, str], Callable[[], Computed]]] = chain(
        ((("model", one.id), partial(_of_model, one, inputs)) for one in inputs.models if one.id in heaters),
        ((("site", site.id), partial(_of_site, site, inputs, day)) for site in sites),
    )
    for subject, compute in work:
        try:
            yield compute()
        except CannotCompute as refusal:
            faults.append(inputs.fault(subject, refusal))
    if faults:
        raise InputFaults(faults)


def _of_model(model: HeaterModel, inputs: Inputs) -> Computed:
    result = compute_model(model, inputs)
    return Computed(f"model.{result.id}", result.findings, _figures(result))


def _of_site(site: Site, inputs: Inputs, day: datetime.date | None) -> Computed:
    result = compute_site(site, inputs)
    found = (*result.findings, *result.measured)
    return Computed(result.id, tuple(on_day(one, day) for one in found), _figures(result))


def _figures(result: object) -> tuple[Figure, ...]:
    return tuple({figure.id: figure for figure in walk(result, Figure)}.values())
