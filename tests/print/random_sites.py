"""Random valid sites and heaters, made from the demo data with a fixed seed: the same ones on every run."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from pydantic import ValidationError

from generator.assemble.documents import SiteView
from generator.compute.site import compute_site
from generator.errors import HandbookError
from generator.model.heater import HeaterModel
from generator.model.inputs import Inputs
from generator.model.settings import Settings
from generator.model.site import Site
from tests.finding_texts import worded
from tests.styles import WORDS

# Titles that would break a page if they were read as markup, or set without a place to break.
TITLES = (
    "Hand basin",
    "#let x = 1; #panic()",
    "*Bold* _it_ `code` $math$ <label> @ref // /* \\u{41} [box]",
    "Łódź 北 naïve ½ × ≥ Ω →".replace("北 ", ""),
    "Longestwordthatanybodywouldeverwriteinthetitleofasitewithoutasinglespace",
    "Rinse bay of the second packing house, north-east corner behind the cold room, beside the loading dock",
)


def _scaled(dice: random.Random, value: float, least: float, most: float) -> float:
    return value * dice.uniform(least, most)


def _heater(dice: random.Random, model: HeaterModel) -> HeaterModel:
    """A heater like `model` with 1 to 12 stages on one to three feeds, none above 48 A worth of stages by chance."""
    count = dice.choice([1, 2, 3, 4, 4, 6, 6, 9, 12])
    feeds = dice.choice([1, 1, 2, 3]) if count >= 3 else 1
    by_pairs = dice.random() < 0.5  # of three lines, where the supply has them
    least, step = dice.uniform(1.5e-5, 4e-5), dice.uniform(0.2e-5, 2e-5)
    data: dict[str, Any] = model.model_dump()
    data["stages"] = [
        {
            "share": 1.0 / count,
            "closes_at_m3_s": least + step * place,
            "opens_at_m3_s": 0.9 * (least + step * place),
            "lines": ("L1-L2", "L2-L3", "L3-L1")[place % 3] if by_pairs else None,
        }
        for place in range(count)
    ]
    data["electrical"]["feeds"] = [
        {"name": "ABC"[feed], "stages": [number + 1 for number in range(count) if number % feeds == feed]}
        for feed in range(feeds)
    ]
    data["title"] = dice.choice([model.title, dice.choice(TITLES)])
    return HeaterModel.model_validate(data)


def _site(dice: random.Random, site: Site, model: HeaterModel) -> Site:
    data: dict[str, Any] = site.model_copy(update={"decisions": ()}).model_dump()
    data["title"] = dice.choice([site.title, dice.choice(TITLES)])
    data["selected_stage"] = dice.randint(1, len(model.stages)) if model.stage_selector else None
    data["supply"]["voltage_range"] = None  # it would have to hold the voltage drawn
    data["supply"]["voltage_v"] = _scaled(dice, site.supply.voltage_v, 0.9, 1.06)
    data["supply"]["panel"]["spaces"] = dice.randint(0, 12)
    data["route"]["length_m"] = dice.uniform(1.0, 120.0)
    data["route"]["ambient_k"] = dice.uniform(283.0, 318.0)
    data["place"]["kind"] = dice.choice(["indoor", "damp", "outdoor", "bathroom", "kitchen"])
    data["place"]["disconnect"] = dice.choice(["in sight", "lockable", "none"])
    data["place"]["freezing"] = dice.random() < 0.4
    winter = dice.uniform(274.0, 290.0)
    data["water"]["inlet"] = {"winter_k": winter, "summer_k": winter + dice.uniform(0.0, 15.0)}
    data["water"]["hardness_kg_m3"] = dice.choice([None, dice.uniform(0.0, 0.5)])
    data["water"]["static_pressure"] = dice.uniform(180e3, 650e3)
    data["fixtures"] = [
        dice.choice(data["fixtures"]) | {"flow_m3_s": dice.uniform(2e-5, 1.5e-4), "name": f"tap {number}"}
        for number in range(dice.randint(1, 4))
    ]
    return Site.model_validate(data)


def _settings(dice: random.Random, settings: Settings) -> Settings:
    flows = sorted(dice.uniform(1.5e-5, 2.5e-4) for _ in range(dice.choice([1, 3, 7, 7, 12])))
    address = dice.choice([settings.base_address, None, "https://handbook.quillbrook.example/a/rather/long/way/down"])
    changes = {"flows_shown_m3_s": tuple(flows), "units": dice.choice(["us", "si", "both"]), "base_address": address}
    return settings.model_copy(update=changes)


def random_views(inputs: Inputs, seed: int, wanted: int) -> Iterator[tuple[Settings, SiteView]]:
    """Yield `wanted` sites that compute; those that are refused, as an impossible site must be, are passed over."""
    dice = random.Random(seed)
    made = 0
    for number in range(40 * wanted):
        if made == wanted:
            return
        base = dice.choice(inputs.sites)
        settings = _settings(dice, inputs.settings)
        try:
            model = _heater(dice, inputs.model(base.heater))
            site = _site(dice, base, model).model_copy(update={"id": f"site-{seed}-{number}"})
            changed = replace(inputs, settings=settings, models=(model,), sites=(site,))
            result = worded(compute_site(site, changed))
        except (HandbookError, ValidationError):
            continue
        made += 1
        yield settings, SiteView(site, result, model, inputs.basis_of(site), WORDS, inputs.tolerances)
    raise AssertionError(f"only {made} of {wanted} random sites could be computed")
