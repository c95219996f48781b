"""Laws of the map in letters: every set is on it or named under it, and nothing leaves the frame."""

import re

from hypothesis import given, settings
from hypothesis import strategies as st

from tendline.core.place import LonLat
from tendline.report.terminal_map import Mark, draw_map

places = st.builds(LonLat, st.floats(-180.0, 180.0), st.floats(-89.0, 89.0)) | st.builds(
    LonLat, st.floats(-78.02, -78.0), st.floats(41.5, 41.51)
)


@settings(max_examples=60)
@given(st.lists(places, min_size=1, max_size=60), st.integers(20, 90), st.integers(8, 30))
def test_every_set_is_on_the_map_or_named_under_it(at: list[LonLat], width: int, height: int) -> None:
    sets = [Mark(str(i), place, f"set-{i}") for i, place in enumerate(at, 1)]
    lines = draw_map(sets, walks=[at], width=width, height=height).split("\n")
    frame, below = lines[:height], " ".join(lines[height + 1 :])
    assert {len(line) for line in frame} == {width}
    drawn = {int(n) for row in frame for n in re.findall(r"\d+", row)}
    named = {int(n) for n in re.findall(r"(\d+)=", below.partition("no room on the map for:")[2])}
    assert drawn | named == set(range(1, len(at) + 1))
    assert not drawn & named
