"""The pipe materials a site may name, with what the calculations need of each besides its sizes and ratings.

Absolute roughness: Moody, Trans. ASME 66 (1944) 671-684, fig. 1: drawn tubing 0.0015 mm, galvanized iron 0.15 mm.
Plastic counts as drawn tubing (common practice, no source of its own). Hazen-Williams C: NFPA 13 (2022) table
28.2.4.8.1, from memory: copper and plastic 150, galvanized steel 120.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass

from generator.errors import CannotCompute

Where = tuple[str | int, ...]

DRAWN_M, GALVANIZED_M = 1.5e-6, 1.5e-4


@dataclass(frozen=True, slots=True)
class PipeMaterial:
    """A pipe material: reader's name, document of its dimensions, roughness [m], Hazen-Williams C.

    `hot` tells whether plumbing codes allow it for hot water at all; `family` groups metals for corrosion.
    """

    id: str
    title: str
    document: str
    roughness_m: float
    hazen_williams_c: float
    hot: bool
    family: str


MATERIALS: dict[str, PipeMaterial] = {
    material.id: material
    for material in (
        PipeMaterial("copper-k", "copper type K", "ASTM B88", DRAWN_M, 150.0, True, "copper"),
        PipeMaterial("copper-l", "copper type L", "ASTM B88", DRAWN_M, 150.0, True, "copper"),
        PipeMaterial("copper-m", "copper type M", "ASTM B88", DRAWN_M, 150.0, True, "copper"),
        PipeMaterial("cpvc-cts", "CPVC SDR 11, copper tube size", "ASTM D2846", DRAWN_M, 150.0, True, "plastic"),
        PipeMaterial("pvc-40", "PVC Schedule 40", "ASTM D1785", DRAWN_M, 150.0, False, "plastic"),
        PipeMaterial("pex", "PEX SDR 9, copper tube size", "ASTM F876", DRAWN_M, 150.0, True, "plastic"),
        PipeMaterial("galvanized", "galvanized steel Schedule 40", "ASTM A53", GALVANIZED_M, 120.0, True, "steel"),
        PipeMaterial("copper-metric", "copper, metric", "EN 1057", DRAWN_M, 150.0, True, "copper"),
        PipeMaterial("pex-metric", "PE-X series S 3.2, metric", "ISO 15875-2", DRAWN_M, 150.0, True, "plastic"),
    )
}


def unknown(where: Where, what: str, text: str, known: Iterable[str]) -> CannotCompute:
    """Return the refusal of a text that is none of the `known` ones, naming the nearest."""
    choices = list(known)
    near = difflib.get_close_matches(text, choices, n=1, cutoff=0.4)
    meant = f"did you mean '{near[0]}'? " if near else ""
    return CannotCompute(where, f"'{text}' is no {what} known here", f"{meant}one of {', '.join(choices)}")


def pipe_material(id_: str, where: Where) -> PipeMaterial:
    """Return the material with this id; CannotCompute at `where`, naming the nearest known, for an unknown one."""
    if id_ not in MATERIALS:
        raise unknown(where, "pipe material", id_, MATERIALS)
    return MATERIALS[id_]
