"""The visits to a site as judged, put with its results."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from generator.compute.known import Known
from generator.compute.record.commissioned import commissioned
from generator.compute.record.doubts import doubts
from generator.compute.record.expected import expected
from generator.compute.record.hottest_measured import hottest_measured
from generator.compute.record.judge import Judged
from generator.compute.record.passes import failed, missing
from generator.compute.record.power_measured import power_measured
from generator.compute.record.pressure_measured import pressure_measured
from generator.compute.record.sound import readings_sound
from generator.compute.record.stage_measured import stage_measured
from generator.compute.record.supply_measured import supply_measured
from generator.compute.verdict.built import circuit_shown
from generator.compute.verdict.proof import lapses
from generator.compute.verdict.set_flow import selected_stage
from generator.model.figures import Finding
from generator.model.inputs import Inputs
from generator.model.readings import Record
from generator.model.records import Expected, Visit
from generator.model.results import SiteResult


def recorded(result: SiteResult, facts: Known, inputs: Inputs) -> SiteResult:
    """Return the results of a site with what its record is expected to hold, its visits and what they find."""
    site, replaced = facts.at.site, circuit_shown(result, existing=True) == "to install"
    rows = () if facts.unfit else expected(facts, replaced=replaced)
    in_use = selected_stage(site, facts.at.model)
    records = inputs.records_of(site)
    judged = {one.record.date: one for one in facts.judged if not one.record.sent}
    visits = (_visit(one, result, rows=rows, in_use=in_use, judged=judged.get(one.date)) for one in records)
    result = replace(result, expected=rows, visits=tuple(visits))
    return replace(result, measured=measured(facts, result.visits, records))


def measured(facts: Known, visits: Sequence[Visit], records: Sequence[Record]) -> tuple[Finding, ...]:
    """Return what the visits to a site find."""
    site = facts.at.site.id
    return (
        commissioned(site, visits),
        readings_sound(site, visits),
        hottest_measured(facts),
        power_measured(facts),
        stage_measured(facts),
        supply_measured(facts),
        pressure_measured(facts, records),
    )


def _visit(
    record: Record, result: SiteResult, *, rows: tuple[Expected, ...], in_use: int, judged: Judged | None
) -> Visit:
    reading = record.reading
    return Visit(
        date=record.date,
        kind=reading.kind,
        next_check=reading.next_check,
        people=tuple((one.part, one.role, one.licence) for one in reading.people),
        proves=tuple(reading.proves),
        lapsed=lapses(record, result),
        failed=failed(reading, rows),
        missing=missing(reading, rows, in_use),
        doubts=doubts(reading, record.date),
        points=judged.points if judged else (),
        explanations=judged.explanations if judged else (),
        decides=judged.decides if judged else "none",
    )
