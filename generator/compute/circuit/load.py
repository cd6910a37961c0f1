"""The load that one feed of a heater puts on its branch circuit."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from generator.compute.circuit.drop.divider import deliver
from generator.compute.circuit.supply_connection import SupplyConnection
from generator.compute.heat.balance import power_at_voltage_w
from generator.model.heater import Feed, HeaterModel, Rating, Stage
from generator.model.site import Site

# Supply over rated voltage, this handbook's own limits on every basis. To the first the marked rating governs; above it
# to the second, the greater current does; beyond, the heater must not be connected, and the circuit is shown for the
# nameplate. At 1.10 the input is 1.21 times the nameplate's: IEC 60335-1 tests at 1.15 times in normal
# and at 1.24 times in abnormal operation (11.4 and 19.4, from memory), and Range B of ANSI C84.1 ends at 1.06 (from
# memory). So a supply that is known to pass it at times is as wrong as one that is stated there.
MARKED_GOVERNS_TO, HIGHEST_SUPPLY_RATIO = 1.05, 1.10


@dataclass(frozen=True)
class Load:
    """The load of one feed at one connection. `id` starts its figures' ids; `where` locates refusals.

    Powers [W] and currents [A] with every stage of the feed closed: `rated_` at the rated voltage, `supply_` at the
    supply's. `heater_current_a`: of the whole heater at the rated voltage, the greatest of its lines, as phasors where
    stages stand across pairs. `all_stages`: the heater's. `to_120_a`: its listing permits parts of up to 120 A.
    """

    id: str
    name: str
    where: tuple[str | int, ...]
    feed: Feed
    stages: tuple[Stage, ...]
    connection: SupplyConnection
    heater_current_a: float
    all_stages: tuple[Stage, ...]
    to_120_a: bool

    @cached_property
    def share(self) -> float:
        """This feed's share of the heater's power."""
        return math.fsum(stage.share for stage in self.stages)

    @property
    def rated_power_w(self) -> float:
        """Power of the feed at the rated voltage."""
        return self.connection.rating.power_w * self.share

    @cached_property
    def rated_current_a(self) -> float:
        """Greatest line current of the feed at the rated voltage."""
        volts = self.connection.rating.voltage_v
        closed = (self.stages[: number + 1] for number in range(len(self.stages)))
        return max(deliver(stages, self.connection, conductor_ohm=0.0, supply_v=volts).current_a for stages in closed)

    @property
    def supply_power_w(self) -> float:
        """Power of the feed at the supply voltage."""
        return power_at_voltage_w(self.rated_power_w, self.connection.rating.voltage_v, self.connection.voltage_v)

    @property
    def supply_current_a(self) -> float:
        """Greatest line current of the feed at the supply voltage."""
        return self.rated_current_a * self.connection.ratio

    @property
    def current_a(self) -> float:
        """The current the circuit is sized for."""
        return self.supply_current_a if self.supply_governs else self.rated_current_a

    @property
    def supply_governs(self) -> bool:
        """Whether the supply, well above the rated voltage but not refused, makes the greater current govern."""
        return MARKED_GOVERNS_TO * (1.0 + 1e-9) < self.connection.ratio <= HIGHEST_SUPPLY_RATIO


def loads(model: HeaterModel, connection: SupplyConnection, id_prefix: str, *, site: bool) -> tuple[Load, ...]:
    """Return the loads of a heater, one a feed; refusals point into the site's YAML (`site`) or the model's."""
    rating, stages = connection.rating, model.stages
    whole_a = deliver(stages, connection, conductor_ohm=0.0, supply_v=rating.voltage_v).current_a
    return tuple(
        Load(
            id=f"{id_prefix}.{_letter(index)}",
            name=feed.name,
            where=("heater",) if site else ("electrical", "feeds", index),
            feed=feed,
            stages=tuple(stages[number - 1] for number in sorted(feed.stages)),
            connection=connection,
            heater_current_a=whole_a,
            all_stages=stages,
            to_120_a=model.electrical.subdivided_to_120_a,
        )
        for index, feed in enumerate(model.electrical.feeds)
    )


def site_prefix(site: Site) -> str:
    """Return how the ids of a site's circuits begin."""
    return f"site.{site.id}.circuit"


def model_prefix(model: HeaterModel, rating: Rating) -> str:
    """Return how the ids of a model's circuits at one rating begin, such as `model.beck-9.circuit.240-v-1-phase`."""
    return f"model.{model.id}.circuit.{rating.voltage_v:g}-v-{rating.phases}-phase"


def _letter(index: int) -> str:
    return chr(ord("a") + index)
