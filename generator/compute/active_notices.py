"""Which safety notices apply to a model, a site or a page, and why.

Pure: notices and results in, applicable notices out. The most severe always come first.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import reduce

from generator.compute.verdict.notice_facts import Placed, holds, may_hold
from generator.compute.verdict.off import stays_off
from generator.model.content.notices import ActiveNotice, Notice, Trigger
from generator.model.content.symptoms import Symptom, SymptomBook
from generator.model.figures import Figure, Finding, Sentence, Value
from generator.model.heater import HeaterModel
from generator.model.inputs import Inputs
from generator.model.results import Results, SiteResult
from generator.model.said import say
from generator.model.site import Site
from generator.model.tables.codes import CodeBasis

# Where a notice applies, for a page that serves every site.
WHERE: dict[str, str] = {
    "several-feeds": say("where-several-feeds"),
    "several-ratings": say("where-several-ratings"),
    "three-phase-model": say("where-three-phase-model"),
    "neutral-lead": say("where-neutral-lead"),
    "stage-selector": say("where-stage-selector"),
    "indoor-enclosure": say("where-indoor-enclosure"),
    "freezing-place": say("where-freezing-place"),
    "outdoor-place": say("where-outdoor-place"),
    "wet-place": say("where-wet-place"),
    "bathing-place": say("where-bathing-place"),
    "public-fixture": say("where-public-fixture"),
    "aluminum-conductor": say("where-aluminum-conductor"),
    "three-phase-supply": say("where-three-phase-supply"),
    "check-valve": say("where-check-valve"),
    "us-basis": say("where-us-basis"),
    "iec-basis": say("where-iec-basis"),
    "disconnect-out-of-sight": say("where-disconnect-out-of-sight"),
    "no-disconnect": say("where-no-disconnect"),
    "existing-circuit": say("where-existing-circuit"),
    "hard-water": say("where-hard-water"),
    "flow-window": say("where-flow-window"),
    "limit-below-hottest": say("where-limit-below-hottest"),
}


def notices_by_page(
    inputs: Inputs, results: Results, notices: Sequence[Notice], *, symptoms: SymptomBook
) -> Iterator[tuple[str, tuple[ActiveNotice, ...]]]:
    """Yield the notices that each page must show, by page id."""
    for page in sorted({page for notice in notices for page in notice.appears} - {"site", "model", "symptom", "card"}):
        yield page, page_notices(page, notices)
    for symptom in symptoms.symptoms:
        yield f"fault-finding/{symptom.id}", symptom_notices(symptom, notices)
    for model in inputs.models:
        yield f"models/{model.id}", model_notices(model, notices)
        yield f"models/{model.id}/faults", faults_notices(symptoms.symptoms, notices, model)
    for site, result in zip(inputs.sites, results.sites, strict=True):
        model, basis = inputs.model(site.heater), inputs.basis_of(site)
        yield f"sites/{site.id}", (active := site_notices(site, model, result, notices=notices, basis=basis))
        yield f"pocket/{site.id}", tuple(one for one in active if one.form == "section")
        shown, at = symptoms.while_off() if stays_off(result) else symptoms.symptoms, Placed(site, model, result, basis)
        yield f"sites/{site.id}/faults", faults_notices(shown, notices, model, at=at)


def site_notices(
    site: Site,
    model: HeaterModel,
    result: SiteResult,
    *,
    notices: Sequence[Notice],
    basis: CodeBasis,
    target: str = "site",
) -> tuple[ActiveNotice, ...]:
    """Return the notices that the page (`target` "site") or the card ("card") of a site must show."""
    at = Placed(site, model, result, basis)
    return _active(notices, target, model, at=at, findings=result.findings)


def model_notices(model: HeaterModel, notices: Sequence[Notice]) -> tuple[ActiveNotice, ...]:
    """Return the notices that the page of a model must show: those that follow from the model alone."""
    return _active(notices, "model", model, at=None, findings=())


def page_notices(page: str, notices: Sequence[Notice]) -> tuple[ActiveNotice, ...]:
    """Return the notices that a general page must show, whatever the sites: such a page serves every reader."""
    found = [notice for notice in _ranked(notices) if page in notice.appears]
    return tuple(ActiveNotice(_fitted(notice, None, None), notice.appears[page], _where(notice)) for notice in found)


def symptom_notices(symptom: Symptom, notices: Sequence[Notice]) -> tuple[ActiveNotice, ...]:
    """Return the notices that the page of a symptom must show: those its data name, and those for every symptom.

    A notice that appears on `symptom` pages guards the checks behind the cover, so it is due where there is one.
    """
    opened = any(cause.effort == "cover off" for cause in symptom.causes)
    found = [
        notice
        for notice in _ranked(notices)
        if notice.id in symptom.notices or ("symptom" in notice.appears and opened)
    ]
    return tuple(
        ActiveNotice(
            _fitted(notice, None, None),
            "section" if notice.id in symptom.notices else notice.appears["symptom"],
            _where(notice),
        )
        for notice in found
    )


def faults_notices(
    symptoms: Iterable[Symptom], notices: Sequence[Notice], model: HeaterModel, *, at: Placed | None = None
) -> tuple[ActiveNotice, ...]:
    """Return the notices that the faults page of a heater must show: those of its symptoms, each once, as they hold
    there."""
    found = {active.notice.id: active for one in symptoms for active in symptom_notices(one, notices)}
    fitted = {notice.id: _fitted(notice, model, at) for notice in notices if notice.id in found}
    ranked = [notice for notice in _ranked(notices) if notice.id in found]
    return tuple(ActiveNotice(fitted[notice.id], found[notice.id].form) for notice in ranked)


def _ranked(notices: Sequence[Notice]) -> list[Notice]:
    return sorted(notices, key=lambda notice: notice.rank)


def _active(
    notices: Sequence[Notice], target: str, model: HeaterModel, *, at: Placed | None, findings: tuple[Finding, ...]
) -> tuple[ActiveNotice, ...]:
    active = []
    for notice in _ranked(notices):
        met = [trigger for trigger in notice.when if _met(trigger, model, at, findings=findings)]
        if met and target in notice.appears:
            active.append(ActiveNotice(_fitted(notice, model, at), notice.appears[target], _because(met, model, at)))
    return tuple(active)


def _fitted(notice: Notice, model: HeaterModel | None, at: Placed | None) -> Notice:
    """Return the notice with every avoidance that may be open here: all but those whose fact is known not to hold."""
    more = tuple(entry.do for entry in notice.avoidance_where if may_hold(entry.fact, model, at))
    return notice.model_copy(update={"avoidance": (*notice.avoidance, *more), "avoidance_where": ()})


def _met(trigger: Trigger, model: HeaterModel, at: Placed | None, *, findings: tuple[Finding, ...]) -> bool:
    if trigger.fact is not None:
        return holds(trigger.fact, model, at)
    return any(found.rule == trigger.finding and found.severity in trigger.severities for found in findings)


def _where(notice: Notice) -> Sentence:
    """Return where a notice applies, for a page that serves every site; empty for one that always does."""
    if any(trigger.fact == "always" for trigger in notice.when):
        return Sentence("")
    facts = [WHERE[trigger.fact] for trigger in notice.when if trigger.fact is not None]
    checks = [say("where-check")] if any(trigger.finding is not None for trigger in notice.when) else []
    every = reduce(lambda one, other: say("where-or", one=one, other=other), facts + checks)
    return Sentence(say("applies-where", where=every))


def _because(met: list[Trigger], model: HeaterModel, at: Placed | None) -> Sentence:
    """Join the sentences of the triggers that are met, with the values that their places name."""
    template = " ".join(trigger.because for trigger in met if trigger.because)
    names = list(dict.fromkeys(name for trigger in met for name in trigger.places))
    known = model_values(model) if at is None else {**model_values(model), **site_values(at)}
    values = [known[name] for name in names if name != "ratings"]
    if "ratings" in names:
        ratings = _ratings(model)
        template = template.replace("{ratings}", ratings.template)
        values.extend(ratings.values)
    return Sentence(template, tuple(values))


def model_values(model: HeaterModel) -> dict[str, Value]:
    """Return the values that a sentence about a model may hold, by place name."""
    water = model.water
    return _by_symbol(
        Value("model", model.title, "text"),
        Value("feeds", float(len(model.electrical.feeds)), "count"),
        Value("cut_out", water.cut_out_k, "temperature", "at_least"),
        Value("greatest_inlet", water.greatest_inlet_k, "temperature", "at_most"),
        Value("greatest_outlet", water.greatest_outlet_k, "temperature", "at_least"),
        Value("working_least", water.working_pressure.least_pa, "pressure", "at_least"),
        Value("working_greatest", water.working_pressure.greatest_pa, "pressure", "at_most"),
    )


def site_values(at: Placed) -> dict[str, Value]:
    """Return the values that a sentence about a site may hold besides its model's, by place name."""
    site, result = at.site, at.result
    return _by_symbol(
        Value("site", site.title, "text"),
        _hottest(result.hottest_top or result.hottest),
        Value("limit", result.limit.value or "", result.limit.kind, "at_most"),
        Value("target", result.target.value or "", result.target.kind),
        Value("winter_inlet", result.winter_inlet.value or "", result.winter_inlet.kind),
        Value("summer_inlet", result.summer_inlet.value or "", result.summer_inlet.kind),
        Value("voltage", site.supply.voltage_v, "voltage"),
        Value("static_pressure", site.water.static_pressure.greatest_pa, "pressure", "at_least"),
        Value("hardness", site.water.hardness_kg_m3 or 0.0, "concentration", "at_least"),
        Value("circuits", float(len(result.circuits)), "count"),
        Value("place", site.place.kind, "choice"),
    )


def _hottest(figure: Figure) -> Value:
    """Return the hottest water, or in words that it is not known."""
    if figure.value is None:
        return Value("hottest", say("hottest-unknown"), "text")
    return Value("hottest", figure.value, figure.kind, "at_least")


def _by_symbol(*values: Value) -> dict[str, Value]:
    return {value.symbol: value for value in values}


def _ratings(model: HeaterModel) -> Sentence:
    """Return the nameplate's ratings as part of a sentence: volts and phases of each."""
    phrases, values = [], []
    for number, rating in enumerate(model.ratings, start=1):
        phrases.append(f"{{rating_{number}}} {{phases_{number}}}")
        phases = "three-phase" if rating.phases == 3 else "single-phase"
        values += [Value(f"rating_{number}", rating.voltage_v, "voltage"), Value(f"phases_{number}", phases, "choice")]
    return Sentence(", ".join(phrases), tuple(values))
