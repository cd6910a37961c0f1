"""What card, labels and the head of a site's page show of one site: every figure chosen here, once, so that they agree.

A figure stands here without its working, which its page has by the figure's id.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from generator.compute.verdict.built import CircuitShown, circuit_shown, must_not_be_built, unfit_supply
from generator.compute.verdict.off import stays_off
from generator.compute.verdict.set_flow import leading
from generator.compute.verdict.too_hot import too_hot
from generator.model.content.card_words import CardWord
from generator.model.documents.card import CardCircuit, CardStage, CardWire
from generator.model.figures import Figure, Sentence, Value
from generator.model.heater import HeaterModel
from generator.model.results import CircuitResult, FlowWindow, SiteResult, StageResult
from generator.model.site import Site
from generator.model.tables.codes import CodeBasis

# Ungrounded conductors, and whether a neutral goes with them.
CONDUCTORS: Mapping[tuple[int, bool], CardWord] = {
    (1, True): "lines-1-neutral",
    (2, False): "lines-2",
    (2, True): "lines-2-neutral",
    (3, False): "lines-3",
    (3, True): "lines-3-neutral",
}
Named = Mapping[CardWord, str]


@dataclass(frozen=True, slots=True)
class SiteFacts:
    """What is shown of a heater at a site.

    `circuits`: what to install, one a feed; none where no circuit may be built, and then no `existing` either, which is
    what is in the panel already. `circuit_shown` says which of the two is the heater's. `wire`: what the sizes hold
    for. `stages`, `window` and `hottest` hold nothing where the supply does not fit the heater; while a failed check
    forbids switching on, no stage has a flow window. `window` is the line of stages whose window leads. `too_hot`:
    whether water can pass `limit` anywhere in the band, at whose top it is `hottest_top`, or did: `met` is the hottest
    that was measured, carried to the warmest day, where it passed the limit, and then no computed figure is a bound.
    """

    circuits: tuple[CardCircuit, ...]
    existing: CardCircuit | None
    circuit_shown: CircuitShown
    wire: CardWire
    supply: Value
    length: Value
    limit: Figure
    target: Figure
    winter_inlet: Figure
    summer_inlet: Figure
    stages: tuple[CardStage, ...]
    window: CardStage | None
    hottest: Figure | None
    hottest_top: Figure | None
    met: Value | None
    too_hot: bool


def site_facts(site: Site, result: SiteResult, model: HeaterModel, *, basis: CodeBasis, words: Named) -> SiteFacts:
    """Return what card, labels and page show of a site, from its data and results."""
    fits = unfit_supply(result.findings) is None
    stages = _stages(result, words) if fits else ()
    shown, old = circuit_shown(result, site.existing_circuit is not None), site.existing_circuit
    insulation = (old.insulation if old and shown == "as found" else None) or site.route.insulation
    return SiteFacts(
        circuits=() if must_not_be_built(result) else tuple(map(_circuit, result.circuits)),
        existing=None if must_not_be_built(result) else _existing(site, result, words),
        circuit_shown=shown,
        wire=_wire(site, result, model, basis=basis, insulation=insulation),
        supply=Value("supply", site.supply.voltage_v, "voltage"),
        length=Value("length", site.route.length_m, "length", "at_least"),
        limit=bare(result.limit),
        target=bare(result.target),
        winter_inlet=bare(result.winter_inlet),
        summer_inlet=bare(result.summer_inlet),
        stages=stages,
        window=stages[leading(result.windows, site, model).number - 1] if fits else None,
        hottest=bare(result.hottest) if fits else None,
        hottest_top=bare(result.hottest_top) if fits and result.hottest_top else None,
        met=(met := _met(result)),
        too_hot=met is not None or too_hot(result.hottest, result.limit),
    )


def _met(result: SiteResult) -> Value | None:
    found = (one for one in result.findings if one.rule == "hottest-water" and one.case == "measured")
    return next((value for one in found for value in one.values if value.symbol == "met"), None)


def bare(figure: Figure) -> Figure:
    """Return the figure without its working."""
    return replace(figure, steps=())


def _circuit(circuit: CircuitResult) -> CardCircuit:
    return CardCircuit(
        name=circuit.name,
        device=bare(circuit.device),
        poles=bare(circuit.poles),
        conductor=bare(circuit.conductor),
        ground=bare(circuit.ground),
        load_current=bare(circuit.load_current),
    )


def _existing(site: Site, result: SiteResult, words: Named) -> CardCircuit | None:
    """Return the circuit that is there already, as the site describes it; None where one is laid new."""
    existing = site.existing_circuit
    if existing is None:
        return None
    return CardCircuit(
        name=words["as-found"],
        device=Value("device", existing.device_a, "current"),
        poles=Value("poles", float(existing.poles), "count"),
        conductor=Value("conductor", existing.conductor, "text"),
        ground=Value("ground", existing.ground or words["no-ground"], "text"),
        load_current=bare(result.circuits[0].load_current),
    )


def _wire(site: Site, result: SiteResult, model: HeaterModel, *, basis: CodeBasis, insulation: str) -> CardWire:
    """Return what the sizes of the circuit hold for: without it, a size invites the cable that carries less."""
    route, conductors = site.route, result.circuits[0].conductors
    method = basis.methods.methods.get(route.method)
    terminals_k = min(route.terminations_k, model.electrical.terminals.temperature_k)
    return CardWire(
        metal=route.conductor,
        insulation=insulation,
        method=method.title if method else route.method,
        terminals=Value("terminals", terminals_k, "temperature", "at_most"),
        conductors=CONDUCTORS[conductors.lines, conductors.neutral],
    )


def _stages(result: SiteResult, words: Named) -> tuple[CardStage, ...]:
    """Return a line for each number of closed stages, with its flow window where one was computed."""
    windows = {} if stays_off(result) else {window.number: window for window in result.windows}
    why = Sentence(words["forbidden"])
    return tuple(_stage(stage, result, windows.get(stage.number), forbidden=why) for stage in result.stages)


def _stage(stage: StageResult, result: SiteResult, window: FlowWindow | None, *, forbidden: Sentence) -> CardStage:
    return CardStage(
        number=Value("stages", float(stage.number), "count"),
        power=bare(stage.power),
        currents=tuple(tuple(map(bare, one.line_currents[stage.number - 1])) for one in result.circuits),
        closes_at=bare(stage.closes_at),
        least=bare(window.least) if window else None,
        greatest=bare(window.greatest) if window else None,
        why_empty=window.why_empty if window else forbidden,
    )
