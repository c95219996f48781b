"""The ground under the map of a line: the invented example's, and lines that have none."""

import io
import json
import re
from datetime import timedelta
from pathlib import Path
from xml.etree import ElementTree as ET

import numpy as np
import pytest
from PIL import Image
from pyproj import Geod

from tendline.core.errors import Refused
from tendline.jobs.bring import bring
from tendline.jobs.demo import NAME, ZONE
from tendline.jobs.example.files import example_files
from tendline.jobs.relief import Relief, Show, relief_for
from tendline.jobs.relief_sheet import relief_sheet_for
from tendline.jobs.start import start
from tendline.jobs.workspace import Workspace, clock, open_workspace


@pytest.fixture(scope="module")
def line(tmp_path_factory: pytest.TempPathFactory) -> Workspace:
    """A line with the example's places and heights."""
    folder = tmp_path_factory.mktemp("relief")
    start(str(folder / "line"), zone=ZONE, name=NAME, handler="", home=None, profiles=(), invented=True)
    files = example_files(clock() - timedelta(days=2))
    for name, content in files.items():
        (folder / name).write_bytes(content)
    bring(open_workspace(str(folder / "line")), [str(folder / name) for name in files])
    return open_workspace(str(folder / "line"))


@pytest.fixture(scope="module")
def drawn(line: Workspace) -> Relief:
    found = relief_for(line)
    assert found is not None
    return found


def test_the_ground_of_the_line_lies_under_every_place_of_it(line: Workspace, drawn: Relief) -> None:
    for one in line.line().in_field:
        place = one.fix.place
        assert drawn.west < place.lon < drawn.east
        assert drawn.south < place.lat < drawn.north
    with Image.open(io.BytesIO(drawn.webp)) as image:
        assert image.size == (drawn.width, drawn.height)
        shade, alpha = np.array(image.convert("LA")).transpose(2, 0, 1)
    assert (alpha == 255).mean() > 0.9
    assert shade[alpha == 255].std() > 10  # hills, not a grey card


def test_lines_are_main_or_not_and_labels_say_feet(drawn: Relief) -> None:
    features = drawn.contours["features"]
    lines = [f for f in features if f["geometry"]["type"] == "LineString"]
    written = [f["properties"] for f in features if f["geometry"]["type"] == "Point"]
    assert len(lines) > 20
    for one in lines:
        steps = one["properties"]["height_m"] / drawn.step_m
        assert steps == pytest.approx(round(steps), abs=1e-3)
        assert one["properties"]["main"] == (round(steps) % 5 == 0)
    assert written
    for label in written:
        # 0.3048 m in a foot, exactly (NIST SP 811).
        assert label["text"] == f"{round(label['height_m'] / 0.3048)} ft"
        assert -90 <= label["turn_deg"] <= 90


@pytest.mark.parametrize("most", [150_000, 60_000, 20_000])
def test_picture_and_lines_keep_to_the_bytes_allowed(line: Workspace, most: int) -> None:
    found = relief_for(line, max_bytes=most)
    assert found is not None
    assert len(found.webp) + len(json.dumps(found.contours, separators=(",", ":"))) <= most


def test_steepness_is_shown_darker_where_it_is_steeper(line: Workspace, drawn: Relief) -> None:
    found = relief_for(line, show=Show.SLOPE)
    assert found is not None
    assert "15, 25, 35, 45 degrees" in found.said[-1]
    with Image.open(io.BytesIO(found.webp)) as image:
        grey = np.array(image.convert("LA"))[..., 0]
    # The example is farmland: most of it gentle and white, some of it darker.
    assert (grey > 240).mean() > 0.5
    assert 0 < (grey < 235).mean() < 0.5


def test_paper_is_drawn_to_scale(line: Workspace) -> None:
    sheet = relief_sheet_for(line, width_mm=150.0)
    assert sheet is not None
    root = ET.fromstring(sheet.svg)
    assert (root.get("width"), root.get("height")) == ("150mm", f"{sheet.height_mm:.2f}mm")
    sets = [one.fix.place for one in line.line().in_field]
    spots = sheet.to_mm(sets)
    assert np.all((spots > 0) & (spots < [sheet.width_mm, sheet.height_mm]))
    # Distances on paper are those of geodesics on the ground, but for the scale of UTM (from memory: 0.9996
    # to 1.001 within a zone).
    far = Geod(ellps="WGS84").inv(sets[0].lon, sets[0].lat, sets[-1].lon, sets[-1].lat)[2]
    assert np.hypot(*(spots[-1] - spots[0])) == pytest.approx(far * 1000 / sheet.scale, rel=2e-3)
    ns = "{http://www.w3.org/2000/svg}"
    lines = root.find(f"{ns}g")
    assert lines is not None
    ways = [path.get("d", "") for path in lines.findall(f"{ns}path")]
    drawn = np.array([float(n) for way in ways for n in re.findall(r"-?[\d.]+", way)]).reshape(-1, 2)
    assert np.all((drawn >= -0.01) & (drawn <= [150.01, sheet.height_mm + 0.01]))
    texts = [text.text or "" for text in root.iter(f"{ns}text")]
    assert sum(text.endswith(" ft") for text in texts) > 3
    assert any("lines every" in text for text in texts)


def test_a_part_can_be_asked_for(line: Workspace, drawn: Relief) -> None:
    lon, lat = (drawn.west + drawn.east) / 2, (drawn.south + drawn.north) / 2
    part = relief_for(line, bounds=(lon - 0.01, lat - 0.01, lon + 0.01, lat + 0.01))
    assert part is not None
    assert part.east - part.west == pytest.approx(0.02, abs=0.002)
    assert part.step_m <= drawn.step_m
    assert relief_for(line, bounds=(lon + 5, lat, lon + 5.1, lat + 0.1)) is None


def test_a_line_without_ground_says_so(tmp_path: Path) -> None:
    start(str(tmp_path / "bare"), zone=ZONE, name=NAME, handler="", home=None, profiles=(), invented=False)
    bare = open_workspace(str(tmp_path / "bare"))
    with pytest.raises(Refused) as caught:
        relief_for(bare)
    assert caught.value.faults[0].code.id == "JOB-403"
    assert relief_for(bare, bounds=(-63.2, 41.5, -63.1, 41.6)) is None
    with pytest.raises(Refused, match="JOB-403"):
        relief_for(bare, max_bytes=100)
