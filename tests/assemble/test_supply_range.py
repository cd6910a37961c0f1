"""The ordinary range of a supply, as a symptom page compares a reading with it.

Oracle: ANSI C84.1-2020, table 1, Range A, from memory: 114 to 126 V of 120 V, 228 to 252 V of 240 V. IEC 60038,
table 1, from memory: 230 V, 10 % either way: 207 to 253 V.
"""

import pytest

from generator.build import Loaded


def test_the_range_stands_at_each_rated_voltage_once(loaded: Loaded) -> None:
    book = loaded.book
    told = {
        view.spec.id: [round(float(value.value), 6) for value in view.comparisons["supply-voltage"]]
        for view in book.models
    }
    assert told["rill-3"] == pytest.approx([114.0, 126.0])
    assert told["beck-9"] == pytest.approx([228.0, 252.0])
    assert told["rill-4m"][:2] == pytest.approx([207.0, 253.0])
    assert told["tarn-18"] == pytest.approx([228.0, 252.0, 197.6, 218.4])
    values = book.models[0].comparisons["supply-voltage"]
    assert [value.side for value in values] == ["up", "down"], "each end rounds into the range"
