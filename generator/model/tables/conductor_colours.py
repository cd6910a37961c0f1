"""The colours of a circuit's conductors on a code basis."""

from __future__ import annotations

from collections.abc import Mapping

from pydantic import Field

from generator.model.heater import LeadRole
from generator.model.scalars import Strict, Text


class ConductorColours(Strict):
    """The colours of a circuit's conductors; `note`: who says so. `high_leg`: of the line with the highest voltage to
    ground of a high-leg delta."""

    line_1: Text = Field(alias="line 1")
    line_2: Text = Field(alias="line 2")
    line_3: Text = Field(alias="line 3")
    neutral: Text
    ground: Text
    high_leg: Text | None = None
    note: Text

    def of(self, role: LeadRole, *, high_leg: bool = False) -> str:
        """Return the colour of a conductor; one line alone has that of the first."""
        if high_leg and self.high_leg:
            return self.high_leg
        by_role: Mapping[LeadRole, str] = {
            "line": self.line_1,
            "line 1": self.line_1,
            "line 2": self.line_2,
            "line 3": self.line_3,
            "neutral": self.neutral,
        }
        return by_role.get(role, self.ground)
