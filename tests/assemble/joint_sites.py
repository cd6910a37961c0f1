"""Sites unlike in all that matters to what a document shows, made for tests: no two of them give the same answer.

Heaters without a selector and with one, stages of unlike power, two feeds, three phases with stages that load all
lines and stages across a pair, the IEC basis; fixtures of unlike kind, target and limit; checks that fail, accepted
and not, while flows still fit; a circuit that is there already; a supply that does not fit.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from generator.assemble.documents import Book, Content, book
from generator.assemble.worded_findings import with_words
from generator.compute.active_notices import notices_by_page
from generator.compute.compute_all import compute
from generator.model.documents.card import Card
from generator.model.heater import HeaterModel
from generator.model.inputs import Inputs
from generator.model.results import Results
from generator.model.settings import Settings
from generator.model.site import Site
from generator.read.content.notices import read_notices
from generator.read.content.stated import read_stated
from generator.read.content.symptoms import read_symptoms
from generator.read.content.trades import read_trades
from generator.read.content.words import read_words
from generator.read.tables.plumbing import read_plumbing
from generator.render.card.texts import card_code
from generator.rules import declared_rules
from generator.site_cards import cards_of
from tests.compute.circuit_cases import METRIC_SUPPLY, basis, merged
from tests.compute.wet_cases import BURNS, PIPES, TOLERANCES, USUAL
from tests.finding_texts import speaker
from tests.finding_texts import words as words_of_findings
from tests.frozen import DATA, ROOT

CONTENT = ROOT / "content"

_WATER = {
    "working_pressure": {"least": "20 psi", "greatest": "90 psi"},
    "head_loss": [{"flow": "0.5 gpm", "loss": "0.5 psi"}, {"flow": "2.0 gpm", "loss": "6 psi"}],
    "greatest_inlet": "95 degF",
    "greatest_outlet": "140 degF",
    "cut_out": "150 degF",
    "volume": "0.12 gal",
}
_MADE = {
    "summary": "A heater for tests.",
    "date": "2026-01-01",
    "frequency": "60 Hz",
    "water": _WATER,
    "connections": [
        {"water": "cold inlet", "size": "1/2 in", "thread": "NPT male", "side": "bottom right"},
        {"water": "hot outlet", "size": "1/2 in", "thread": "NPT male", "side": "bottom left"},
    ],
    "mounting": {
        "orientation": "upright on a wall",
        "clearances": {"above": "4 in", "below": "12 in", "sides": "4 in", "front": "24 in"},
    },
    "enclosure": "damp",
    "mass": "9 lb",
    "listing_to_verify": "a listing mark",
}


def _stages(*rows: tuple[str, float, float, str | None], unit: str = "gpm") -> list[dict[str, str]]:
    return [
        {"share": share, "closes_at": f"{closes} {unit}", "opens_at": f"{opens} {unit}"} | ({"lines": at} if at else {})
        for share, closes, opens, at in rows
    ]


# One feed, four unlike stages, no selector; terminals rated for less than the route's.
FINCH: dict[str, Any] = _MADE | {
    "id": "finch",
    "title": "Finch 8",
    "revision": "C",
    "ratings": [{"voltage": "240 V", "phases": "1", "power": "8.4 kW"}],
    "stages": _stages(
        ("20 %", 0.40, 0.33, None), ("30 %", 0.70, 0.58, None), ("30 %", 1.00, 0.89, None), ("20 %", 1.35, 1.24, None)
    ),
    "stage_selector": "no",
    "electrical": {
        "feeds": [{"name": "A", "stages": ["1", "2", "3", "4"]}],
        "terminals": {
            "temperature": "60 degC",
            "conductors": ["copper", "aluminum"],
            "smallest": "14 AWG",
            "largest": "2 AWG",
            "torque": "20 lbf in",
        },
        "leads": [
            {"role": "line 1", "colour": "black"},
            {"role": "line 2", "colour": "red"},
            {"role": "ground", "colour": "green"},
        ],
        "neutral_needed": "no",
    },
}

# Two feeds on three phases; stages 1 and 4 load all lines alike, 2, 3 and 5 stand across a pair; a selector.
PLOVER: dict[str, Any] = _MADE | {
    "id": "plover",
    "title": "Plover 15",
    "revision": "A",
    "ratings": [{"voltage": "208 V", "phases": "3", "power": "15 kW"}],
    "stages": _stages(
        ("15 %", 0.50, 0.40, None),
        ("10 %", 0.80, 0.70, "L1-L2"),
        ("15 %", 1.10, 1.00, "L2-L3"),
        ("35 %", 1.50, 1.38, None),
        ("25 %", 2.00, 1.85, "L3-L1"),
    ),
    "stage_selector": "yes",
    "electrical": {
        "feeds": [
            {"name": "Upper", "stages": ["1", "2", "3"], "maximum_device": "40 A"},
            {"name": "Lower", "stages": ["4", "5"], "maximum_device": "45 A"},
        ],
        "terminals": {
            "temperature": "75 degC",
            "conductors": ["copper"],
            "smallest": "12 AWG",
            "largest": "4 AWG",
            "torque": "30 lbf in",
        },
        "leads": [
            {"role": "line 1", "colour": "black"},
            {"role": "line 2", "colour": "red"},
            {"role": "line 3", "colour": "blue"},
            {"role": "ground", "colour": "green"},
        ],
        "neutral_needed": "no",
    },
}

# Metric, for the IEC basis.
DUNLIN: dict[str, Any] = _MADE | {
    "id": "dunlin",
    "title": "Dunlin 6M",
    "revision": "B",
    "frequency": "50 Hz",
    "ratings": [{"voltage": "230 V", "phases": "1", "power": "5.75 kW"}],
    "stages": _stages(("40 %", 1.5, 1.2, None), ("60 %", 2.6, 2.3, None), unit="L/min"),
    "stage_selector": "no",
    "electrical": {
        "feeds": [{"name": "A", "stages": ["1", "2"]}],
        "terminals": {
            "temperature": "70 degC",
            "conductors": ["copper"],
            "smallest": "2.5 mm2",
            "largest": "10 mm2",
            "torque": "2 N m",
        },
        "leads": [
            {"role": "line", "colour": "brown"},
            {"role": "neutral", "colour": "blue"},
            {"role": "ground", "colour": "green and yellow"},
        ],
        "neutral_needed": "yes",
    },
}

_SINK = {"name": "rinse sink", "kind": "service sink", "flow": "0.6 gpm", "target": "95 degF", "limit": "130 degF"}
_BASIN = {"name": "public basin", "kind": "public lavatory", "flow": "0.5 gpm", "target": "104 degF"}
_SHOWER = {"name": "shower", "kind": "shower", "flow": "1.3 gpm", "target": "98 degF", "limit": "118 degF"}
_VALVE = {"mixing_valve": {"standard": "ASSE 1016 and ASSE 1070", "type": "thermostatic", "setting": "98 degF"}}

# One feed on 240 V; the hottest target and the lowest limit, which no file states, are those of the fixture between.
THREE_TAPS: dict[str, Any] = {
    "id": "three-taps",
    "title": "Three taps",
    "summary": "A site for tests.",
    "heater": "finch",
    "place": {"occupancy": "other", "kind": "indoor", "disconnect": "lockable"},
    "supply": {
        "voltage": "240 V",
        "phases": "1",
        "frequency": "60 Hz",
        "panel": {"rating": "200 A", "demand": "50 A", "demand_method": "counted", "spaces": "12", "phases": "1"},
    },
    "route": {
        "method": "pvc-conduit",
        "conductor": "copper",
        "insulation": "THWN-2",
        "length": "37 ft",
        "ambient": "38 degC",
        "terminations": "75 degC",
    },
    "use": {"continuous": "no", "reason": "nobody washes for three hours"},
    "water": {
        "static_pressure": "55 psi",
        "inlet": {"winter": "68 degF", "summer": "70 degF"},
        "hardness": "3 gpg",
        "cold_run": [{"material": "copper-l", "size": "1/2 in", "length": "20 ft"}],
        "hot_run": [{"material": "copper-l", "size": "1/2 in", "length": "5 ft"}],
    },
    "fixtures": [_SINK | _VALVE, _BASIN | _VALVE, _SHOWER | _VALVE],
}

_THREE_PHASE = {
    "heater": "plover",
    "selected_stage": "3",
    "supply": {"voltage": "208 V", "phases": "3", "panel": {"phases": "3"}},
    "use": {"continuous": "yes"},
    "route": {"length": "52 ft", "insulation": "XHHW-2"},
    "water": {"inlet": {"winter": "66 degF", "summer": "69 degF"}},
    "fixtures": [
        {"name": "bay", "kind": "rinse bay", "flow": "1.2 gpm", "target": "100 degF", "limit": "140 degF"},
        {"name": "sink", "kind": "service sink", "flow": "0.6 gpm", "target": "93 degF", "limit": "135 degF"},
    ],
}

_METRIC = {
    "heater": "dunlin",
    "code_basis": "iec",
    "supply": METRIC_SUPPLY,
    "route": {
        "method": "B1",
        "insulation": "PVC",
        "length": "14 m",
        "ambient": "40 degC",
        "other_circuits": "1",
        "arrangement": "bunched",
        "terminations": "70 degC",
    },
    "use": {"continuous": "yes"},
    "water": {
        "inlet": {"winter": "12 degC", "summer": "16 degC"},
        "cold_run": [{"material": "copper-metric", "size": "15 mm", "length": "6 m"}],
        "hot_run": [{"material": "copper-metric", "size": "15 mm", "length": "1 m"}],
    },
    "fixtures": [
        {"name": "basin", "kind": "lavatory", "flow": "2.7 L/min", "target": "38 degC", "limit": "46 degC"} | _VALVE,
        {"name": "sink", "kind": "service sink", "flow": "2 L/min", "target": "34 degC", "limit": "60 degC"},
    ],
}


def _site(id_: str, *changes: dict[str, Any]) -> Site:
    entry = THREE_TAPS | {"id": id_, "title": id_.replace("-", " ").capitalize()}
    for change in changes:
        entry = merged(entry, change)
    return Site.model_validate(entry)


_METER = {"name": "water meter", "kind": "meter", "loss": "0.5 psi", "at": "15 gpm"}
# The static pressure is above what the heater's switches work at, until flow has brought it down.
# Its meter states a loss that hardly counts.
_PRESSED = {
    "water": {
        "static_pressure": "91.8 psi",
        "cold_run": [{"material": "copper-l", "size": "1/2 in", "length": "90 ft", "devices": [_METER]}],
    }
}
# The sink has no mixing valve: the hottest water passes its limit, which the owner accepts.
_SINK_ALONE = {"fixtures": [_BASIN | _VALVE, _SINK | {"limit": "112 degF"}, _SHOWER | _VALVE]}
_ACCEPTED = {
    "finding": "",
    "kind": "accepted",
    "by": "test owner",
    "why": "the outlet is out of reach",
    "date": "2026-01-01",
    "until": "2030-01-01",
    "at": {"hottest": "123 degF", "top": "137 degF", "supply": "252 V", "limit": "112 degF"},
}
_AS_FOUND = {
    "existing_circuit": {
        "device": "40 A",
        "poles": "2",
        "conductor": "6 AWG",
        "ground": "8 AWG",
        "insulation": "THW",  # as the old conductors are marked, not as the route states
    }
}
_UNFIT = {"supply": {"voltage": "300 V"}}
_MUST_NOT_BE_BUILT = {"route": {"method": "nm-cable", "insulation": "NM-B", "wet": "yes"}}


def _accepted(id_: str) -> dict[str, Any]:
    return {"decisions": [_ACCEPTED | {"finding": f"{id_}.hottest-water"}]}


# Id -> what is changed in THREE_TAPS.
_CHANGES: dict[str, tuple[dict[str, Any], ...]] = {
    "three-taps": (),
    "pressed": (_PRESSED,),
    "accepted": (_SINK_ALONE, _accepted("accepted")),
    "accepted-and-open": (_SINK_ALONE, _accepted("accepted-and-open"), _PRESSED),
    "as-found": (_AS_FOUND,),
    "must-not-be-built": (_SINK_ALONE, _accepted("must-not-be-built"), _MUST_NOT_BE_BUILT),
    "unfit": (_UNFIT,),
    "two-feeds": (_THREE_PHASE,),
    "metric": (_METRIC,),
}
SITES = tuple(_site(id_, *changes) for id_, changes in _CHANGES.items())


def inputs() -> Inputs:
    """The test sites as inputs, on the code tables of the demo."""
    settings = Settings.model_validate(
        {
            "title": "Test handbook",
            "publisher": "Nobody",
            "contact": "nobody",
            "revision": "1",
            "date": "2026-01-02",
            "units": "both",
            "paper": "letter",
            "code_basis": "us",
            "limit_temperature": "120 degF",
            "flows_shown": ["0.5 gpm", "1.0 gpm", "1.5 gpm"],
            "base_address": "https://handbook.example",
        }
    )
    models = tuple(map(HeaterModel.model_validate, (FINCH, PLOVER, DUNLIN)))
    plumbing, _ = read_plumbing(DATA / "plumbing", DATA.parent)
    rules = {name: file.value for name, file in plumbing.items() if file.value}
    bases = {name: basis(name) for name in ("us", "iec")}
    return Inputs(settings, models, SITES, bases, rules, PIPES, BURNS, TOLERANCES, USUAL, {})


@dataclass(frozen=True)
class Joined:
    """The test sites all the way: inputs, results, the book that pages are made from, and the cards."""

    inputs: Inputs
    results: Results
    book: Book
    cards: Mapping[str, Card]


def joined() -> Joined:
    """The test sites with all that a document of theirs is made from: words as in content/."""
    given, notices = inputs(), read_notices(CONTENT)
    symptoms = read_symptoms(CONTENT, {notice.id for notice in notices})
    stated = read_stated(CONTENT)
    results = with_words(speaker().worded(compute(given)), words_of_findings())
    active = speaker().worded(dict(notices_by_page(given, results, notices, symptoms=symptoms)))
    words = read_words(CONTENT, given.settings.language)
    shown = book(given, results, Content(words, active, symptoms, stated, read_trades(CONTENT, set(declared_rules()))))
    cards = cards_of(CONTENT, shown, notices)
    codes = {site: card_code(card, shown.style) for site, card in cards.items()}
    return Joined(given, results, replace(shown, card_codes=codes), cards)
