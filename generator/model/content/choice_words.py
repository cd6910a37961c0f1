"""The codes of the YAML and of findings shown to readers: their words stand in content/words/choices.yaml."""

from __future__ import annotations

from typing import get_args

from generator.model.content.notices import Signal
from generator.model.content.symptoms import Who
from generator.model.documents.change_report import STANDINGS
from generator.model.heater import Connection, Material
from generator.model.site import Building, Occupancy, PlaceKind

PHASES = ("single-phase", "three-phase")  # of a rating of the nameplate
_WATER = Connection.model_fields["water"].annotation
_KINDS = (Occupancy, PlaceKind, Building, Material, Who, Signal, _WATER)
CHOICES: tuple[str, ...] = (*(code for kind in _KINDS for code in get_args(kind)), *PHASES, *STANDINGS)
