"""Curve and factors put together: what goes into a pace today; and that the page names every curve."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from tendline.almanac.effort import load_time_factor, snow_time_factor
from tendline.almanac.gait import gait_of
from tendline.almanac.travel import speed_irmischer2018, speed_irmischer2018_off_path
from tendline.almanac.walk_models import MODELS
from tendline.core.settings import WalkCosts

LEVEL = np.zeros(1)


def level_s(costs: WalkCosts, *, dark: bool = False, on_path: bool = False) -> float:
    """Time for a level metre."""
    gait = gait_of(costs, dark=dark)
    return float(gait.pace(LEVEL)[0]) * gait.factor * (gait.on_path if on_path else 1.0)


def test_the_factors_multiply() -> None:
    # Tobler on the level 0.6 exp(0.175) = 0.71475 s/m; off the path / 0.6; snow, load, dark, own on top.
    plain = WalkCosts()
    assert level_s(plain) == pytest.approx(0.71475 / 0.6, rel=1e-4)
    assert level_s(plain, on_path=True) == pytest.approx(0.71475, rel=1e-4)
    full = WalkCosts(snow=1.5, own=1.2, dark=1.3, load_kg=15.0)
    assert level_s(full) == pytest.approx(level_s(plain) * 1.5 * 1.2 * load_time_factor(80, 15))
    assert level_s(full, dark=True) == pytest.approx(level_s(full) * 1.3)
    said = ", ".join(gait_of(full, dark=True).said)
    assert said == "curve tobler-1993, off the path 1.67, snow 1.50, load 1.10, dark 1.30, your own 1.20"


def test_a_depth_of_sinking_takes_the_place_of_the_snow_factor() -> None:
    deep = WalkCosts(snow=9.0, sink_m=0.2)
    assert level_s(deep) == pytest.approx(level_s(WalkCosts()) * snow_time_factor(0.2))
    assert gait_of(deep).terrain == pytest.approx(2.94)


def test_trodden_paths_have_a_snow_of_their_own() -> None:
    costs = WalkCosts(snow=2.0, path_snow=1.1)
    assert level_s(costs, on_path=True) == pytest.approx(0.71475 * 1.1, rel=1e-4)
    assert level_s(costs) == pytest.approx(0.71475 * 2.0 / 0.6, rel=1e-4)


def test_a_curve_of_its_own_off_the_path_is_used_instead_of_the_share() -> None:
    costs = WalkCosts(model="irmischer-2018", off_path=0.1)
    assert level_s(costs) == pytest.approx(1 / speed_irmischer2018_off_path(0.0))
    assert level_s(costs, on_path=True) == pytest.approx(1 / speed_irmischer2018(0.0))


@pytest.mark.parametrize("name", list(MODELS))
def test_every_curve_can_be_chosen_and_stands_on_the_page(name: str) -> None:
    assert level_s(replace(WalkCosts(), model=name)) > 0.5
    page = (Path(__file__).parents[3] / "docs/concepts/walking.md").read_text(encoding="utf-8")
    (row,) = [line for line in page.splitlines() if line.startswith(f"| `{name}`")]
    kmh = 3.6 / float(MODELS[name].pace(LEVEL)[0])
    assert f"| {kmh:.1f} |" in row
