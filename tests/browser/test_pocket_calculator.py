"""The calculator of a pocket page looks up what the handbook computes: never a digit further off, never unsafely so."""

import json
import math
import random
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from generator.assemble.documents import Book, SiteView
from generator.build import Loaded
from generator.compute.heat.balance import capped_outlet_k, power_for_outlet_w
from generator.compute.heat.hottest import Circumstances, hottest_water
from generator.compute.known import Known, known
from generator.compute.record.expected import lines
from generator.compute.record.observe import predicted
from generator.compute.use.allowed_reading import allowed_reading_k, kept_by_cut_out_k, open_limit_k
from generator.model.content.words import Units
from generator.model.figures import Side
from generator.model.inputs import Inputs
from generator.render.format import show_quantity
from generator.render.pages.calculator import calculator_data
from generator.render.pages.write import Rendered
from generator.units import from_si, to_si
from tests.assemble.joint_sites import joined
from tests.browser.pocket import write_pocket_pages
from tests.compute.record.phasors import by_phasors

pytestmark = pytest.mark.browser

SEED, FEW, MANY = 20261127, 240, 2000
UNITS: tuple[Units, ...] = ("us", "si")
ASK = """([data, reads]) => {
  const said = JSON.parse(document.getElementById("calculator-words").textContent);
  const fill = (word, values = {}) => JSON.stringify([word, values]);
  return reads.map(typed => {
    const found = reading.read(typed, data);
    return found.refused ? { refused: found.refused } : calculatorTexts(data, found.si, fill);
  });
}"""


@dataclass(frozen=True)
class Read:
    """A reading as it is typed: texts with their units, volts by pair."""

    stages: int
    inlet: str
    flow: str
    volts: dict[str, str]
    outlet: str

    def typed(self) -> dict[str, Any]:
        """As the page's form gives it."""
        names = ("inlet", "flow", "outlet", "volume", "time")
        texts = {name: {"text": getattr(self, name, ""), "unit": ""} for name in names}
        volts = {pair: {"text": text, "unit": "V"} for pair, text in self.volts.items()}
        return {"stages": self.stages, **texts, "volts": volts}

    def si(self, name: str) -> float:
        """A quantity in SI."""
        number, unit = getattr(self, name).split(" ")
        return to_si(float(number), "flow" if name == "flow" else "temperature", unit)

    @property
    def pairs_v(self) -> tuple[float, ...]:
        """The volts of each pair, none where nobody read them."""
        return tuple(float(text.split(" ")[0]) for text in self.volts.values() if text)


@pytest.fixture(scope="module")
def pocket(rendered: tuple[Rendered, ...], tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_pocket_pages(tmp_path_factory.mktemp("pocket"), rendered)


@pytest.fixture(scope="module")
def calculator(pocket: Path, browser: Browser) -> Iterator[Page]:
    """A page with the scripts of the calculator, whose functions take any site's data."""
    page = browser.new_page()
    page.goto((pocket / "packing-house.html").as_uri())
    yield page
    page.close()


def drawn(chance: random.Random, facts: Known, units: Units) -> Read:
    """A reading that may be taken at a site."""
    model, supply = facts.at.model, facts.at.site.supply.voltage_v
    stages = chance.randint(1, facts.heat.selected)
    least = facts.heat.band.flows.least * max(stage.opens_at_m3_s for stage in model.stages[:stages])
    flow = least * chance.uniform(1.001, 4.0)
    inlet_k = chance.choice([chance.uniform(273.2, 300.0), chance.uniform(273.2, model.water.cut_out_k - 1.0)])
    outlet_k = min(inlet_k + chance.expovariate(1 / 25.0), 372.9)
    degrees, unit = ("degF", "gpm") if units == "us" else ("degC", "L/min")
    near = chance.uniform(0.6, 1.38) if chance.random() < 0.3 else chance.uniform(0.93, 1.06)
    apart = chance.choice([0.01, 0.1])  # a pair on another tap, or with a joint that burns
    volts = [f"{supply * near * chance.uniform(1.0 - apart, 1.0):.1f} V" for _ in pairs_of(facts)]
    volts = volts if chance.random() < 0.85 else [""] * len(volts)
    return Read(
        stages,
        f"{max(from_si(inlet_k, 'temperature', degrees), 0.0):.1f} {degrees}",
        f"{from_si(flow, 'flow', unit):.4f} {unit}",
        dict(zip(pairs_of(facts), volts, strict=True)),
        f"{from_si(outlet_k, 'temperature', degrees) + 0.1:.1f} {degrees}",
    )


def pairs_of(facts: Known) -> tuple[str, ...]:
    connection = facts.circuits[0].load.connection
    return ("L1-L2", "L2-L3", "L3-L1") if connection.phases == 3 else ("L1-N",) if connection.to_neutral else ("L1-L2",)


Shown = tuple[str, Side]  # a number as it is shown, and the side to which it is rounded


def computed(read: Read, facts: Known, units: Units) -> tuple[dict[str, Shown], dict[str, str]]:
    """What the handbook's own functions give for a reading, as shown, and which words follow."""
    heat, model, volts = facts.heat, facts.at.model, read.pairs_v
    inlet_k, flow, outlet_k = read.si("inlet"), read.si("flow"), read.si("outlet")

    def taken(circuit: Any) -> tuple[list[float], float]:
        if volts:
            return by_phasors(circuit, read.stages, volts)
        found = predicted(circuit, range(1, read.stages + 1), None, at_panel=False)
        amps = [found.line_a(place) if found else 0.0 for place, _ in enumerate(lines(circuit))]
        return amps, found.power_w if found else 0.0

    power_w = sum(taken(one)[1] for one in facts.circuits)
    ends, cut_out_k = facts.stated_input, model.water.cut_out_k

    def outlet(share: float) -> float:
        return float(capped_outlet_k(inlet_k, flow, share * power_w, ceiling_k=cut_out_k))

    def shown(value: float, kind: str, side: Side) -> Shown:
        return show_quantity(value, kind, side, units=units), side

    texts = {
        "outlet": shown(outlet(1.0), "temperature", "nearest"),
        "least": shown(outlet(ends.least), "temperature", "up"),
        "greatest": shown(outlet(ends.greatest), "temperature", "down"),
    }
    for circuit in facts.circuits:
        for line, amps in zip(lines(circuit), taken(circuit)[0], strict=True):
            texts[f"{circuit.load.name}, {line}"] = shown(amps, "current", "nearest")
            texts[f"{circuit.load.name}, {line} least"] = shown(amps * ends.least, "current", "up")
            texts[f"{circuit.load.name}, {line} greatest"] = shown(amps * ends.greatest, "current", "down")
    heat_w = power_for_outlet_w(inlet_k, outlet_k, flow)
    share = heat_w / power_w
    nominal_v, most_v = facts.at.site.supply.voltage_v, heat.band.volts.greatest
    on = Circumstances(
        nominal_v,
        facts.at.site.supply.phases,
        heat.band.warmest_k.greatest,
        share * (most_v / nominal_v) ** 2,
        heat.band.flows.least,
    )
    summer = hottest_water(model, on, heat.burns)[heat.selected - 1]
    texts["power"] = shown(heat_w, "power", "nearest")
    texts["nameplate"] = shown(power_w, "power", "nearest")
    texts["share"] = shown(share, "ratio", "nearest")
    texts["summer"] = shown(summer.temperature_k, "temperature", "up")
    limit_k = open_limit_k(facts.at.site, heat.default_limit_k, facts.at.plumbing.limits)
    within = limit_k is not None and summer.judged_k <= limit_k
    agrees = "low" if share < ends.least else "high" if share > ends.greatest else "agrees"
    words = {
        "power": f"power-{agrees}",
        "summer": f"summer-{'valves' if limit_k is None else 'within' if within else 'above'}",
    }
    if volts and limit_k is not None and limit_k > heat.band.warmest_k.greatest:
        part = min(part_of_greatest(facts, number, volts, most_v) for number in range(1, read.stages + 1))
        texts["allowed"] = shown(allowed_k(facts, inlet_k, part, limit_k), "temperature", "down")
    return texts, words


def part_of_greatest(facts: Known, number: int, volts: tuple[float, ...], most_v: float) -> float:
    """What part of the greatest volts, alike on each pair, would give the power that these stages take now."""
    now, most = (
        sum(by_phasors(one, number, pairs_v)[1] for one in facts.circuits)
        for pairs_v in (volts, (most_v,) * len(volts))
    )
    return math.sqrt(now / most)


def allowed_k(facts: Known, inlet_k: float, part: float, limit_k: float) -> float:
    """The hottest reading allowed, at most the cut-out, which water as hot as boiling reaches too."""
    heat, cut_out_k = facts.heat, facts.at.model.water.cut_out_k
    held_k, warmest_k = kept_by_cut_out_k(facts.at.model, limit_k, heat.burns), heat.band.warmest_k.greatest
    try:
        return min(allowed_reading_k(inlet_k, part, limit_k=limit_k, warmest_k=warmest_k, held_k=held_k), cut_out_k)
    except ValueError:
        return cut_out_k


def told(answer: dict[str, Any]) -> tuple[dict[str, str], set[str]]:
    """The numbers of an answer by name, and the words it chose."""
    filled = [json.loads(text) for text, *_ in (*answer["expected"], *(answer["judged"] or ()))]
    texts, words = {}, set()
    for word, values in filled:
        words.add(word)
        texts |= {name: text for name, text in values.items() if word in TAKEN and name in TAKEN[word]}
    for line, amps, passes in answer["amps"]:
        _, of = json.loads(line)
        name = f"{of['feed']}, {of['line']}"
        _, ends = json.loads(passes)
        texts |= {name: amps, f"{name} least": ends["least"], f"{name} greatest": ends["greatest"]}
    return {name: text.partition(' ["or-more"')[0] for name, text in texts.items()}, words


TAKEN = {
    "outlet": {"outlet"},
    "outlet-band": {"least", "greatest"},
    "allowed": {"allowed"},
    "power": {"power", "nameplate", "share"},
    "summer": {"summer"},
}


def number(text: str) -> float:
    return float(text.partition("\u00a0")[0].replace("\u2212", "-"))


def step(one: str, other: str) -> float:
    """The last digit that a number shows, of two forms of it."""
    decimals = max(len(text.partition("\u00a0")[0].partition(".")[2]) for text in (one, other))
    return 10.0**-decimals


def off(name: str, given: str, own: Shown) -> str:
    """What is wrong with a number beside the handbook's own; empty where nothing is."""
    text, side = own
    if given.partition("\u00a0")[2] != text.partition("\u00a0")[2]:
        return f"{name}: {given} for {text}"
    # A whole number of degrees Celsius drops its zero: its last digit is a tenth all the same.
    last = 0.1 if text.endswith(("°C", "A", "%")) else step(given, text)
    between = number(given) - number(text)
    if abs(between) > last * 1.001:
        return f"{name}: {given} for {text}: too far"
    unsafe = {"up": between < 0.0, "down": between > 0.0, "nearest": False}[side]
    return f"{name}: {given} for {text}: unsafe" if unsafe else ""


def faults_of(calculator: Page, view: SiteView, facts: Known, *, units: Units, reads: list[Read]) -> list[str]:
    data = calculator.evaluate("text => JSON.parse(text)", str(calculator_data(view, units)))
    answers = calculator.evaluate(ASK, [data, [read.typed() for read in reads]])
    faults = []
    for read, answer in zip(reads, answers, strict=True):
        if "refused" in answer:
            faults.append(f"{read}: {answer['refused']}")
            continue
        (texts, chosen), (own, words) = told(answer), computed(read, facts, units)
        if texts.keys() != own.keys():
            faults.append(f"{read}: {texts.keys() ^ own.keys()}")
            continue
        faults += [f"{view.spec.id} {read} {wrong}" for name in own if (wrong := off(name, texts[name], own[name]))]
        faults += [f"{view.spec.id} {read}: {word}" for word in words.values() if word not in chosen]
    return faults


@pytest.fixture(scope="module")
def unlike(loaded: Loaded) -> tuple[tuple[Inputs, Book], ...]:
    """The demo, and sites unlike in all that matters."""
    made = joined()
    return (loaded.inputs, loaded.book), (made.inputs, made.book)


def ask_of_all(calculator: Page, unlike: tuple[tuple[Inputs, Book], ...], number_of_reads: int) -> list[str]:
    chance, faults = random.Random(SEED), []
    views = [(view, known(view.spec, inputs)) for inputs, book in unlike for view in book.sites]
    fitting = [(view, facts) for view, facts in views if not facts.unfit]
    assert len(fitting) >= 10
    each = number_of_reads // (2 * len(fitting)) + 1
    for view, facts in fitting:
        for units in UNITS:
            reads = [drawn(chance, facts, units) for _ in range(each)]
            faults += faults_of(calculator, view, facts, units=units, reads=reads)
    return faults


def test_the_calculator_gives_what_the_handbook_computes(calculator: Page, unlike: Any) -> None:
    assert ask_of_all(calculator, unlike, FEW) == []


@pytest.mark.heavy
def test_the_calculator_gives_what_the_handbook_computes_many_times_over(calculator: Page, unlike: Any) -> None:
    assert ask_of_all(calculator, unlike, MANY) == []
