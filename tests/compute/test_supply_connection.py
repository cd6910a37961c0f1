"""Which heaters stand between line and neutral.

The ranges of rated voltages: ANSI C84.1-2020, table 1 (120 V, 277 V) and IEC 60038:2009, table 1 (230 V), from memory;
how far around those voltages is common practice, no source.
"""

import pytest

from generator.compute.circuit.supply_connection import INTERNATIONAL, NORTH_AMERICAN, Ranges, connect
from tests.compute.circuit_cases import heater


@pytest.mark.parametrize(
    ("ranges", "volts", "to_neutral"),
    [
        *((NORTH_AMERICAN, volts, True) for volts in (100.0, 120.0, 130.0, 265.0, 277.0, 290.0)),
        *((NORTH_AMERICAN, volts, False) for volts in (99.9, 130.1, 208.0, 240.0, 264.9, 290.1)),
        *((INTERNATIONAL, volts, True) for volts in (100.0, 230.0, 300.0)),
        *((INTERNATIONAL, volts, False) for volts in (99.9, 300.1, 400.0)),
    ],
)
def test_a_rated_voltage_stands_to_neutral_within_its_range_ends_included(
    ranges: Ranges, volts: float, to_neutral: bool
) -> None:
    model = heater()
    for phases, expected in ((1, to_neutral), (3, False)):
        rating = model.ratings[0].model_copy(update={"voltage_v": volts, "phases": phases})
        found = connect(model, rating, volts, to_neutral=ranges)
        assert (found.to_neutral, found.neutral, found.lines) == (
            expected,
            expected,
            3 if phases == 3 else 2 - expected,
        )
