"""How far a sound heater, its supply and its water lie from what is stated of them (site_data/tolerances.yaml).

The service range of the supply stands with its code basis (`ServiceVoltage` in basis.yaml).
"""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from generator.model.quantity import QuantityField
from generator.model.scalars import Strict, Text

# Parts of a stated value by which the true one may differ. Ten times or a tenth of a usual one leaves the range: by a
# tolerance too small, water too hot passes as safe.
# Of flows: 2 %, since a bucket and a watch check one no closer; 20 %, since beyond it stages as far apart as usual
# overlap (common practice, no source).
Deviation = Annotated[float, QuantityField("ratio", "2 %", "20 %")]
SettingShare = Annotated[float, QuantityField("ratio", "1 %", "20 %")]
SettingFlow = Annotated[float, QuantityField("flow", "0.02 gpm", "0.3 gpm")]
SentError = Annotated[float, QuantityField("temperature_difference", "1 delta_degF", "10 delta_degF")]
Margin = Annotated[float, QuantityField("temperature_difference", "1 delta_degF", "30 delta_degF")]


class ServiceVoltage(Strict):
    """How far a supply in service lies below and above its stated voltage, as parts of it."""

    below: Deviation
    above: Deviation


class InputTolerance(Strict):
    """How far the power of a sound heater at its rated voltage lies below and above the nameplate's, as parts of it."""

    below: Deviation
    above: Deviation
    source: Text


class ColdResistance(Strict):
    """How far the resistance of an element lies, measured cold, below that at work, as a part of it."""

    below: Deviation
    source: Text


class SwitchingTolerance(Strict):
    """How far the flows at which a stage turns on and drops out lie from those stated, either way, as a part of them.

    Of a model that states none of its own.
    """

    within: Deviation
    source: Text


class InletMargin(Strict):
    """How far the inlet at its coldest and its warmest may lie from one estimated from a climate, either way [K]."""

    within_k: Margin = Field(alias="within")
    source: Text


class SettingError(Strict):
    """How closely a hand sets and holds a flow: the greater of a flow [m3/s] and a part of what is set."""

    flow_m3_s: SettingFlow = Field(alias="flow")
    share: SettingShare
    source: Text


class SentTolerance(Strict):
    """By how much a reading is off, either way, that someone sent without naming the instruments: temperatures [K],
    flow and volts as parts of them."""

    temperature_k: SentError = Field(alias="temperature")
    flow: Deviation
    volts: Deviation
    source: Text


class Tolerances(Strict):
    """The file tolerances.yaml: each tolerance with who says so."""

    input: InputTolerance
    cold_resistance: ColdResistance
    switching_flow: SwitchingTolerance
    estimated_inlet: InletMargin
    setting: SettingError
    sent_reading: SentTolerance
