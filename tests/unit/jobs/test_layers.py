"""Which lines of the files brought in are walked on as paths."""

from datetime import UTC, datetime

import pytest

from tendline.core.place import LonLat
from tendline.ground.brought import BroughtKind, BroughtThing
from tendline.jobs.layers import paths_of

A, B, C = LonLat(-81.0, 40.6), LonLat(-81.0, 40.61), LonLat(-81.0, 40.62)
RECORDED = BroughtThing(BroughtKind.TRACK, path=(A, B), at=datetime(2027, 1, 6, 12, tzinfo=UTC))
DRAWN = BroughtThing(BroughtKind.TRACK, path=(B, C))
TRAIL = BroughtThing(BroughtKind.FEATURE, path=(A, C), facts={"feature": "trail"})
OTHERS = (
    BroughtThing(BroughtKind.FEATURE, path=(A, B, C), facts={"feature": "fence"}),
    BroughtThing(BroughtKind.FEATURE, place=A, facts={"feature": "road"}),
    BroughtThing(BroughtKind.BARRIER, path=(C, B)),
)


@pytest.mark.parametrize(
    ("which", "expected"),
    [("drawn", [(B, C), (A, C)]), ("all", [(A, B), (B, C), (A, C)]), ("none", [])],
)
def test_paths_are_what_the_setting_says(which: str, expected: list[tuple[LonLat, ...]]) -> None:
    assert list(paths_of((RECORDED, DRAWN, TRAIL, *OTHERS), which)) == expected
