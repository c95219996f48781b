"""The calibration plot says the verdict in words and puts dots and dashes where the shares are."""

import re
from datetime import UTC, datetime

import numpy as np
import pytest
from lxml import etree

from tendline.report.scout_facts import Compared
from tendline.report.scout_plot import HEIGHT, calibration_svg
from tendline.season.predicted import Calibration, calibrate

SVG = "{http://www.w3.org/2000/svg}"


def plotted(sign: Calibration) -> etree._Element:
    none = calibrate([], [1.0, 2.0, 3.0, 4.0, 5.0], None, seed=1)
    one = Compared("a & b.npz", "coyote", datetime(2027, 1, 15, tzinfo=UTC), sign, none)
    return etree.fromstring(calibration_svg(one).encode())


def test_every_band_has_its_dash_and_where_something_was_seen_a_dot_at_its_share() -> None:
    elsewhere = np.arange(100.0)
    found = calibrate([95.0] * 9 + [5.0], elsewhere, None, seed=1)
    sign, catches = plotted(found).findall(f"{SVG}g")
    dots = [float(dot.get("cy")) for dot in sign.findall(f"{SVG}circle")]
    dashes = [float(line.get("y1")) for line in sign.findall(f"{SVG}line") if line.get("stroke-dasharray")]
    assert len(dots) == len(dashes) == len(found.bands) == 5
    # Nine of ten in the last band, none in the middle: the axis runs from no share at 270 to all at 70.
    assert dots == pytest.approx([250.0, 270.0, 270.0, 270.0, 90.0])
    assert dashes == pytest.approx([HEIGHT - 50.0 - 0.2 * 200.0] * 5)
    assert catches.findall(f"{SVG}circle") == []


def test_the_verdict_and_the_file_stand_in_it_in_words() -> None:
    root = plotted(calibrate([1.0] * 20, np.arange(100.0), None, seed=1))
    words = " ".join(text.text or "" for text in root.iter(f"{SVG}text"))
    assert "Sign seen since: no better than chance so far" in words
    assert "too few to tell: 0 seen" in words
    assert re.search("a & b.npz", root.findtext(f"{SVG}title") or "")
