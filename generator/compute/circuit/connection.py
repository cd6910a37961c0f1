"""How a heater meets its supply: which line of its nameplate applies, and which conductors that takes."""

from __future__ import annotations

from dataclasses import dataclass

from generator.compute.stages import rating_for_supply
from generator.model.heater import HeaterModel, Rating
from generator.model.site import Site

# Nominal voltages to ground or neutral of North American systems: 120/240, 208Y/120, 480Y/277 V (ANSI C84.1-2020,
# table 1), with the Range B spread of a tenth.
LINE_TO_NEUTRAL_V = (120.0, 277.0)
SPREAD = 0.10


@dataclass(frozen=True, slots=True)
class Connection:
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
    def ratio(self) -> float:
        """Supply voltage over rated voltage."""
        return self.voltage_v / self.rating.voltage_v


def connect(model: HeaterModel, rating: Rating, voltage_v: float, north_american: bool) -> Connection:
    """Return the connection of `model` by one nameplate line to a supply of `voltage_v` [V].

    On the North American systems a single-phase heater of about 120 V or 277 V stands between line and neutral, any
    other between two lines; elsewhere a single-phase heater stands between line and neutral.
    """
    to_neutral = rating.phases == 1 and (not north_american or _is_line_to_neutral(rating.voltage_v))
    return Connection(rating, voltage_v, to_neutral, neutral=to_neutral or model.electrical.neutral_needed)


def connect_site(site: Site, model: HeaterModel, north_american: bool) -> Connection:
    """Return the connection of a site's heater to its supply."""
    supply = site.supply
    rating = rating_for_supply(model, supply.voltage_v, supply.phases)
    return connect(model, rating, supply.voltage_v, north_american)


def _is_line_to_neutral(voltage_v: float) -> bool:
    return any(abs(voltage_v / nominal - 1.0) <= SPREAD for nominal in LINE_TO_NEUTRAL_V)
