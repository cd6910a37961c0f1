"""The finding `stage-measured`: whether each stage heats and turns on as stated.

Severity: `attention` where the readings are explained best by a stage, feed or line that is dead, or by unequal stages,
or where a stage turned on or dropped out outside the tolerance of its flow: the heater does not do what it was chosen
for, and hotter water than computed can follow from a stage that drops out late. `ok` else, and where nothing was read.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from generator.compute.known import Known
from generator.compute.record.judge import Judged
from generator.compute.severity import ok_or_attention
from generator.model.figures import Finding, Row, Value
from generator.model.finding_rules import Rule
from generator.model.records import CAUSES

SOURCE = "Ohm's and Kirchhoff's laws; nameplate of the model; common practice, no source"
STAGES = ("stage", "stage-off", "feed-off", "line-open")
RULE = Rule(
    "stage-measured",
    {"none": (), "as-stated": (), "otherwise": ()},
    lists={"causes": ("cause", "of"), "late": ("stage", "read", "least", "greatest")},
    choices={"cause": CAUSES},
)


def stage_measured(facts: Known) -> Finding:
    """Return the finding `stage-measured` of a site."""
    site = facts.at.site
    causes = tuple(_causes(facts.judged))
    late = tuple(row for one in facts.judged for row in _late(one, facts))
    read = any(one.points or one.record.reading.switching for one in facts.judged)
    case = "otherwise" if causes or late else "as-stated" if read else "none"
    lists = {"causes": causes, "late": late}
    return RULE.judge(case, ok_or_attention(case != "otherwise"), source=SOURCE, lists=lists).at(site.id)


def _causes(judged: Iterable[Judged]) -> Iterator[Row]:
    """Yield what the best of the explanations with one cause says of single stages, feeds and lines."""
    for one in judged:
        alone = [kept for kept in one.explanations if len(kept.causes) == 1]
        if one.agrees or not alone:
            continue
        (cause,) = alone[0].causes
        if cause.code in STAGES:
            yield {"cause": Value("cause", cause.code, "text"), "of": Value("of", cause.of, "text")}


def _late(judged: Judged, facts: Known) -> Iterator[Row]:
    """Yield the stages that turned on or dropped out outside the tolerance of their flows."""
    flows, stages = facts.heat.band.flows, facts.at.model.stages
    for one in judged.record.reading.switching:
        stage = stages[one.stage - 1]
        for read, stated in ((one.turns_on_m3_s, stage.closes_at_m3_s), (one.drops_out_m3_s, stage.opens_at_m3_s)):
            least, greatest = stated * flows.least, stated * flows.greatest
            if read is not None and not least * (1.0 - 1e-6) <= read <= greatest * (1.0 + 1e-6):
                yield {
                    "stage": Value("stage", float(one.stage), "count"),
                    "read": Value("read", read, "flow"),
                    "least": Value("least", least, "flow", "at_least"),
                    "greatest": Value("greatest", greatest, "flow", "at_most"),
                }
