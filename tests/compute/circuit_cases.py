"""Code bases, heaters and sites for the circuit tests. The bases come from site_data/."""

from __future__ import annotations

import copy
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from generator.model.heater import HeaterModel
from generator.model.site import Site
from generator.model.tables.basis_header import BasisHeader
from generator.model.tables.clauses import Clauses
from generator.model.tables.codes import CodeBasis, CodeTable, Methods
from generator.model.tables.pass_limits import PassLimits
from tests.frozen import DATA, ROOT


def plain(path: Path) -> Any:
    """A YAML file with every scalar as text, as the read stage delivers it."""
    return copy.deepcopy(_parsed(path.read_text(encoding="utf-8")))


@cache
def _parsed(text: str) -> Any:
    return yaml.load(text, Loader=yaml.BaseLoader)


@cache
def basis(name: str) -> CodeBasis:
    folder = ROOT / "site_data" / "codes" / name
    files = {path.stem: plain(path) for path in sorted(folder.glob("*.yaml"))}
    header = BasisHeader.model_validate(files.pop("basis"))
    methods = Methods.model_validate(files.pop("wiring_methods"))
    rules = Clauses.model_validate(files.pop("rules"))
    passes = PassLimits.model_validate(files.pop("pass_limits"))
    tables = {key: CodeTable.model_validate(table) for key, table in files.items()}
    return CodeBasis(header, methods, rules, passes, tables)


def demo_model(name: str) -> HeaterModel:
    return HeaterModel.model_validate(plain(DATA / "models" / f"{name}.yaml"))


def demo_site(name: str) -> Site:
    return Site.model_validate(plain(DATA / "sites" / f"{name}.yaml"))


def heater(
    power: str = "9.6 kW",
    voltage: str = "240 V",
    phases: int = 1,
    feeds: int = 1,
    factory_parts: int = 0,
    maximum_device: str | None = None,
    **electrical: Any,
) -> HeaterModel:
    """A heater of four equal stages shared out over `feeds`, with `factory_parts` built-in devices on each.

    Its leads are those of a North American heater of this voltage, unless given.
    """
    count = 4
    lines = 3 if phases == 3 else 1 if voltage in ("120 V", "277 V") else 2
    needed = electrical.get("neutral_needed", "yes" if lines == 1 else "no")
    share = {"share": f"{100 / count:.6f} %"}
    stages = [
        share | {"closes_at": f"{0.3 + 0.1 * n:.1f} gpm", "opens_at": f"{0.2 + 0.1 * n:.1f} gpm"} for n in range(count)
    ]
    entry = {
        "id": "some-heater",
        "title": "Some heater",
        "summary": "A heater for tests.",
        "revision": "A",
        "date": "2026-01-01",
        "ratings": [{"voltage": voltage, "phases": str(phases), "power": power}],
        "frequency": "60 Hz",
        "stages": stages,
        "stage_selector": "no",
        "electrical": {
            "feeds": [_feed(n, count, feeds, factory_parts, maximum_device) for n in range(feeds)],
            "terminals": {
                "temperature": "75 degC",
                "conductors": ["copper", "aluminum"],
                "smallest": "14 AWG",
                "largest": "4/0 AWG",
                "torque": "35 lbf in",
            },
            "leads": leads(lines, neutral=needed == "yes"),
            "neutral_needed": needed,
        }
        | electrical,
        "water": plain(DATA / "models" / "beck-9.yaml")["water"],
        "connections": plain(DATA / "models" / "beck-9.yaml")["connections"],
        "mounting": plain(DATA / "models" / "beck-9.yaml")["mounting"],
        "enclosure": "damp",
        "mass": "9 lb",
        "listing_to_verify": "a listing mark",
    }
    return HeaterModel.model_validate(entry)


def leads(lines: int, neutral: bool) -> list[dict[str, str]]:
    """The leads of a heater of so many line conductors."""
    line = ["line"] if lines == 1 else [f"line {number + 1}" for number in range(lines)]
    return [{"role": role, "colour": "any"} for role in [*line, *["neutral"] * neutral, "ground"]]


def _feed(number: int, stages: int, feeds: int, parts: int, maximum_device: str | None) -> dict[str, Any]:
    own = list(range(number * stages // feeds + 1, (number + 1) * stages // feeds + 1))
    size = len(own) // parts if parts else 0
    devices = [{"stages": list(map(str, own[n * size : (n + 1) * size])), "device": "60 A"} for n in range(parts)]
    feed: dict[str, Any] = {"name": "AB"[number], "stages": list(map(str, own)), "factory_protection": devices}
    return feed | ({"maximum_device": maximum_device} if maximum_device else {})


def site(**changes: Any) -> Site:
    """A site whose every circuit finding is ok with `heater()`; `changes` replace or merge entries of its YAML."""
    entry: dict[str, Any] = {
        "id": "some-site",
        "title": "Some site",
        "summary": "A site for tests.",
        "heater": "some-heater",
        "place": {"occupancy": "other", "kind": "indoor", "disconnect": "in sight"},
        "supply": {
            "voltage": "240 V",
            "phases": "1",
            "frequency": "60 Hz",
            "system": "wye",
            "panel": {"rating": "200 A", "demand": "50 A", "demand_method": "counted", "spaces": "12", "phases": "3"},
        },
        "route": {
            "method": "pvc-conduit",
            "conductor": "copper",
            "insulation": "THWN-2",
            "length": "20 ft",
            "ambient": "30 degC",
            "terminations": "75 degC",
        },
        "use": {"continuous": "yes"},
        "water": {
            "static_pressure": "50 psi",
            "inlet": {"winter": "50 degF", "summer": "60 degF"},
            "cold_run": [{"material": "copper-l", "size": "1/2 in", "length": "10 ft"}],
            "hot_run": [{"material": "copper-l", "size": "1/2 in", "length": "10 ft"}],
        },
        "fixtures": [{"name": "tap", "kind": "lavatory", "flow": "0.5 gpm", "target": "100 degF"}],
    }
    return Site.model_validate(merged(entry, changes))


def metric_heater(power: str = "7.2 kW", voltage: str = "230 V", phases: int = 1, **more: Any) -> HeaterModel:
    """A heater with metric terminals of 70 degC, 50 Hz."""
    terminals = {
        "temperature": "70 degC",
        "conductors": ["copper"],
        "smallest": "1.5 mm2",
        "largest": "70 mm2",
        "torque": "2 N m",
    }
    own = {"neutral_needed": "yes", "leads": leads(3 if phases == 3 else 1, neutral=True)}
    found = heater(power, voltage, phases, **({"terminals": terminals} | own | more))
    return found.model_copy(update={"frequency_hz": 50.0})


METRIC_SUPPLY = {
    "voltage": "230 V",
    "frequency": "50 Hz",
    "neutral_present": "yes",
    "system": "TN-S",
    "residual_current_device": "30 mA",
}


def metric_site(**changes: Any) -> Site:
    """A site whose every circuit finding on the IEC basis is ok with `metric_heater()`."""
    entry = {
        "supply": METRIC_SUPPLY,
        "route": {
            "method": "C",
            "insulation": "PVC",
            "length": "10 m",
            "terminations": "70 degC",
        },
    }
    return site(**merged(entry, changes))


def merged(entry: dict[str, Any], changes: dict[str, Any]) -> dict[str, Any]:
    both = {
        key: merged(entry[key], value) if isinstance(value, dict) and isinstance(entry.get(key), dict) else value
        for key, value in changes.items()
    }
    return entry | both
