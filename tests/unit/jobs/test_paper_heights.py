"""The heights on a paper map: those of the model, and no paper is held up where there are none."""

from pathlib import Path

import numpy as np
import pytest
import rasterio
from pyproj import Transformer

from tendline.core.place import LonLat
from tendline.jobs.paper_heights import with_heights
from tendline.jobs.workspace import open_workspace
from tendline.report.ground_map import Ground, Mark
from tendline.report.height_lines import NO_HEIGHTS
from tests.hills import CRS, hills_file
from tests.journeys.run import done
from tests.lines import MORNING, SETS, small_line

MAP = Ground(
    tuple(
        Mark("set", name, LonLat(*map(float, place.split(","))))
        for name, place in SETS.items()
        if name != "S1"
    )
)


def test_a_height_written_is_that_of_the_model_read_by_gdal(tmp_path: Path) -> None:
    line, hills = small_line(tmp_path / "line"), hills_file(tmp_path)
    done("bring", str(hills), "--line", line)
    found = with_heights(open_workspace(line, at=MORNING), MAP).heights
    assert {main for _, main in found.lines} == {True, False}
    turn = Transformer.from_crs("EPSG:4326", CRS, always_xy=True)
    with rasterio.open(hills) as model:
        at = [turn.transform(word.place.lon, word.place.lat) for word in found.words]
        heights = np.array([value[0] for value in model.sample(at)])
    written = np.array([float(word.text.removesuffix(" ft")) * 0.3048 for word in found.words])
    assert len(written) > 3
    step_m = float(found.step.removesuffix(" ft")) * 0.3048  # exactly (NIST SP 811)
    # Lines are drawn over slightly smoothed heights, and a cell is 10 m on slopes of up to 24 degrees.
    assert np.abs(heights - written).max() < step_m
    assert np.abs(heights - written).mean() < 3.0


def test_nothing_is_drawn_without_heights_or_places_or_where_they_cannot_be_read(tmp_path: Path) -> None:
    line = small_line(tmp_path / "line")
    assert with_heights(open_workspace(line, at=MORNING), MAP) == MAP
    assert with_heights(open_workspace(line, at=MORNING), Ground(())) == Ground(())
    done("bring", str(hills_file(tmp_path)), "--line", line)
    space = open_workspace(line, at=MORNING)
    far = Ground((Mark("set", "A", LonLat(-70.0, 41.5)),))
    assert with_heights(space, far) == far
    assert with_heights(space, MAP).heights != NO_HEIGHTS
    for kept in (tmp_path / "line" / "ground").iterdir():
        kept.write_bytes(b"no longer a raster")
    assert with_heights(space, MAP) == MAP


def test_the_finder_sheet_carries_them(tmp_path: Path) -> None:
    pdfium = pytest.importorskip("pypdfium2")
    line, out = small_line(tmp_path / "line"), tmp_path / "sheet.pdf"
    done("bring", str(hills_file(tmp_path)), "--line", line)
    done("paper", "finder-sheet", "--line", line, "--at", MORNING, "--out", str(out))
    text = "".join(page.get_textpage().get_text_range() for page in pdfium.PdfDocument(out))
    assert "grey lines: every" in text
