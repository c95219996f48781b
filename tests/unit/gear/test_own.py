"""A person's own measures beside the law's least stop; circumferences by hand."""

import pytest

from tendline.almanac.loops import Reach
from tendline.gear.own import Own

INCH = 0.0254


@pytest.mark.parametrize(
    # Around 2.55 in across is 8 in, around 4.25 in is 13.35 in (circumference of a circle).
    ("stop_in", "said"),
    [(2.5465, "closes on every neck"), (4.25, "smallest neck"), (5.0, "will not hold them"), (None, "")],
)
def test_a_stop_is_told_beside_the_necks(stop_in: float | None, said: str) -> None:
    own = Own(necks=3, neck=Reach(12.5 * INCH, 14.5 * INCH))
    found = own.stop_said(None if stop_in is None else stop_in * INCH)
    assert said in found
    assert bool(found) is bool(said)


def test_without_necks_nothing_is_said() -> None:
    assert Own(loops=3, loop=Reach(0.2, 0.3)).stop_said(0.06) == ""
