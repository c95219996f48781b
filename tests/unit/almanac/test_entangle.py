"""What the trade counts as an entanglement: common practice, no source."""

import pytest

from tendline.almanac.entangle import stick_faults, woody_counts


@pytest.mark.parametrize(("inches", "counts"), [(0.49, False), (0.5, True), (2.0, True)])
def test_woody_growth_of_half_an_inch_or_more_counts(inches: float, counts: bool) -> None:
    assert woody_counts(inches * 0.0254) is counts


def test_growth_that_nobody_measured_is_not_let_stand() -> None:
    assert woody_counts(None) is None


def test_a_stick_is_dead_brittle_loose_and_under_half_an_inch() -> None:
    assert stick_faults(thick_m=0.01, dead=True, driven=False) == ()
    assert len(stick_faults(thick_m=0.0127, dead=False, driven=True)) == 3
    assert len(stick_faults(thick_m=None, dead=None, driven=None)) == 3
