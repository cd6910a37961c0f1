"""Which further reading is still open after a visit."""

import pytest

from generator.compute.record.decide import _taken
from generator.model.records import DecidingReading
from tests.compute.record.visits import reading

POINT = {"inlet": 285.0, "outlet": 300.0}
BUCKET, METER = POINT | {"volume": 0.004, "time": 40.0}, POINT | {"flow": 1e-4}


@pytest.mark.parametrize(
    ("points", "name", "taken"),
    [
        ([BUCKET, BUCKET], "bucket", True),
        ([BUCKET, METER], "bucket", False),
        ([METER], "bucket", False),
        ([BUCKET], "second-thermometer", False),
    ],
)
def test_a_flow_by_bucket_is_taken_where_every_point_has_one(
    points: list[dict[str, float]], name: DecidingReading, taken: bool
) -> None:
    visit = reading([{"stages": on, **point} for on, point in enumerate(points, 1)])
    assert _taken(name, visit, 4) is taken
