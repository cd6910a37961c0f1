"""Parts of the pipework whose loss their makers state at one flow, and how it goes with the flow.

    loss(Q) = loss_stated (Q / Q_stated)^n

Above the stated flow n is 2, fully turbulent, the most that a loss grows. Below it n is the least of its kind, so that
a loss is never understated: 0 behind the springs of a backflow preventer, whose loss is there from the first flow on; 1
through the bed of a softener or filter (laminar: Darcy's law); 1.75 in the smooth bore of a hose (Blasius); 2 in a
meter and an open regulator (turbulent). Source: the named laws; which part follows which, common practice, no source.

A regulator holds its outlet pressure, the same at every flow up to the stated one, while the supply leaves it that
much; above the stated flow what it holds falls by what its loss grows.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from generator.model.said import say
from generator.model.site_water import Device

SOURCE = say("maker-loss")
TURBULENT = 2.0
# Kind of device -> the exponent of its loss below the stated flow.
BELOW: Mapping[str, float] = {
    "meter": TURBULENT,
    "backflow preventer": 0.0,
    "softener": 1.0,
    "filter": 1.0,
    "hose": 1.75,
    "regulator": TURBULENT,
}


@dataclass(frozen=True, slots=True)
class StatedLoss:
    """A device in a run; `outlet_pa`: what a regulator holds behind it [Pa], infinite for any other."""

    device: Device
    outlet_pa: float

    def exponent(self, flow_m3_s: float) -> float:
        """Return n at a flow [m3/s]."""
        return BELOW[self.device.kind] if flow_m3_s < self.device.flow_m3_s else TURBULENT

    def loss_pa(self, flow_m3_s: float) -> float:
        """Return what it loses [Pa] at a flow [m3/s] (zero or more), a regulator fully open; nothing without flow."""
        if flow_m3_s <= 0.0:
            return 0.0
        return self.device.loss_pa * math.pow(flow_m3_s / self.device.flow_m3_s, self.exponent(flow_m3_s))

    def _held_pa(self, flow_m3_s: float) -> float:
        """Return the most that is behind it [Pa]."""
        return self.outlet_pa - max(0.0, self.loss_pa(flow_m3_s) - self.device.loss_pa)

    def behind_pa(self, before_pa: float, flow_m3_s: float) -> float:
        """Return the pressure behind it [Pa] of one before it [Pa]."""
        left_pa = before_pa - self.loss_pa(flow_m3_s)
        return min(left_pa, self._held_pa(flow_m3_s)) if self.regulates else left_pa

    def before_pa(self, behind_pa: float, flow_m3_s: float) -> float:
        """Return the least pressure before it [Pa] that leaves this behind it; infinite: a regulator holds less."""
        return behind_pa + self.loss_pa(flow_m3_s) if behind_pa <= self._held_pa(flow_m3_s) else math.inf

    @property
    def regulates(self) -> bool:
        """Whether it holds a pressure behind it."""
        return math.isfinite(self.outlet_pa)

    @property
    def at_greatest(self) -> StatedLoss:
        """The same, a regulator at the greatest that it holds."""
        outlet = self.device.outlet
        return self if outlet is None else replace(self, outlet_pa=outlet.greatest_pa)


def stated_loss(device: Device) -> StatedLoss:
    """Return a device in a run, a regulator at the least that it holds.

    Half the flow through the bed of a softener loses half, twice the flow four times what its maker states:

    >>> softener = stated_loss(Device(name="softener", kind="softener", loss=1e5, at=1e-3))
    >>> softener.loss_pa(0.5e-3), softener.loss_pa(2e-3)
    (50000.0, 400000.0)
    """
    return StatedLoss(device, device.outlet.least_pa if device.outlet else math.inf)
