"""What a sound element measures: between what the current through it and its resistance lie.

The power of a sound heater at its rated voltage lies between the ends of the input tolerance, and its current with it.
Resistance goes inversely with power. Measured cold, a heating alloy lies below its resistance at work, so the low end
is lowered by as much again. Both tolerances, with who says so, stand in site_data/tolerances.yaml.
"""

from __future__ import annotations

from generator.model.tables.tolerances import Tolerances


def sound_a(nominal_a: float, held_to: Tolerances) -> tuple[float, float]:
    """Return the least and the greatest current [A] at rated voltage from the nominal one [A].

    I × (1 − below) and I × (1 + above), of the input.
    """
    return nominal_a * (1.0 - held_to.input.below), nominal_a * (1.0 + held_to.input.above)


def sound_ohm(nominal_ohm: float, held_to: Tolerances) -> tuple[float, float]:
    """Return the least and the greatest resistance [ohm] of a sound element from its nominal one [ohm].

    R × (1 − cold) / (1 + above) and R / (1 − below).
    """
    least = (1.0 - held_to.cold_resistance.below) / (1.0 + held_to.input.above)
    return nominal_ohm * least, nominal_ohm / (1.0 - held_to.input.below)
