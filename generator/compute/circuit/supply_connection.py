"""How a heater meets its supply: which line of its nameplate applies, and which conductors that takes."""

from __future__ import annotations

from dataclasses import dataclass

from generator.model.heater import HeaterModel, Rating
from generator.model.results import Conductors

# Rated voltages [V] of single-phase heaters between line and neutral, from and to. North America: 120 V of 120/240 and
# 208Y/120 V, 277 V of 480Y/277 V (ANSI C84.1-2020, table 1); elsewhere 230 V of 230/400 V (IEC 60038:2009, table 1).
Ranges = tuple[tuple[float, float], ...]
NORTH_AMERICAN: Ranges = ((100.0, 130.0), (265.0, 290.0))
INTERNATIONAL: Ranges = ((100.0, 300.0),)


@dataclass(frozen=True, slots=True)
class SupplyConnection:
    """One way to connect a heater: its nameplate line, the voltage it gets [V], and whether that is to neutral.

    `lines`: ungrounded conductors; `neutral`: a neutral conductor is run; `voltage_v` is line to line, or line to
    neutral where `to_neutral`.
    """

    rating: Rating
    voltage_v: float
    to_neutral: bool
    neutral: bool

    @property
    def phases(self) -> int:
        """1 or 3, of the heater as connected."""
        return self.rating.phases

    @property
    def lines(self) -> int:
        """Ungrounded conductors of one circuit."""
        return 3 if self.phases == 3 else 1 if self.to_neutral else 2

    @property
    def conductors(self) -> Conductors:
        """What the connection takes, for whoever shows it."""
        return Conductors(self.lines, self.neutral, self.to_neutral)

    @property
    def ratio(self) -> float:
        """Supply voltage over rated voltage."""
        return self.voltage_v / self.rating.voltage_v


def connect(model: HeaterModel, rating: Rating, voltage_v: float, *, to_neutral: Ranges) -> SupplyConnection:
    """Return the connection of `model` by one nameplate line to a supply of `voltage_v` [V].

    A single-phase heater rated within one of the ranges `to_neutral` stands between line and neutral, any other
    between two lines.
    """
    low_voltage = rating.phases == 1 and any(low <= rating.voltage_v <= high for low, high in to_neutral)
    return SupplyConnection(rating, voltage_v, low_voltage, neutral=low_voltage or model.electrical.neutral_needed)
