"""Laws of files with layers: whatever is done to their bytes, a fault is named or the file is read."""

import functools
import tempfile
import zipfile
from collections.abc import Callable
from io import BytesIO
from pathlib import Path

import numpy as np
import pyogrio.raw
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from tendline.core.errors import Fault, Refused
from tendline.ground.brought import BroughtKind
from tendline.ground.read_any import read_file
from tests.unit.ground.support import NOW, ZONE

KML = b"""<kml xmlns="http://www.opengis.net/kml/2.2"><Document><Placemark><name>A</name><ExtendedData>
<Data name="kind"><value>set</value></Data></ExtendedData><Point><coordinates>-78,41,3</coordinates></Point>
</Placemark><Placemark><name>B</name><Polygon><outerBoundaryIs><LinearRing><coordinates>-78,41 -77,41 -77,42
-78,41</coordinates></LinearRing></outerBoundaryIs></Polygon></Placemark></Document></kml>"""
GPX = b"""<gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1" creator="x"
xmlns:t="urn:uuid:2b426225-569e-582b-a2e5-5c9f22962b25"><wpt lat="41" lon="-78"><name>A</name><type>set</type>
<extensions><t:fields><t:tag>7</t:tag><t:loop_m>0.3</t:loop_m></t:fields></extensions></wpt></gpx>"""


@functools.cache
def written(ending: str) -> bytes:
    """A small file of two places, as GDAL writes it."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"a.{ending}"
        pyogrio.raw.write(
            str(path),
            geometry=shapely.to_wkb(shapely.points([(-78.1, 41.2), (-78.2, 41.3)])),
            field_data=[np.array(["A", "B"], dtype=object), np.array([1.5, 2.5])],
            fields=np.array(["name", "loop_m"]),
            geometry_type="Point",
            crs="EPSG:4326",
        )
        if ending == "gpkg":
            return path.read_bytes()
        out = BytesIO()
        with zipfile.ZipFile(out, "w") as archive:
            for part in sorted(Path(folder).iterdir()):
                archive.writestr(part.name, part.read_bytes())
        return out.getvalue()


@functools.cache
def kmz() -> bytes:
    out = BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("doc.kml", KML)
    return out.getvalue()


FILES: dict[str, Callable[[], bytes]] = {
    "a.kml": lambda: KML,
    "a.gpx": lambda: GPX,
    "a.kmz": kmz,
    "a.gpkg": lambda: written("gpkg"),
    "a.zip": lambda: written("shp"),
}


@st.composite
def harmed(draw: st.DrawFn, name: str) -> bytes:
    """The file with some bytes changed, cut out or put in."""
    data = bytearray(FILES[name]())
    for _ in range(draw(st.integers(1, 6))):
        at = draw(st.integers(0, len(data) - 1))
        how = draw(st.sampled_from(["change", "cut", "put", "end"]))
        if how == "change":
            data[at] = draw(st.integers(0, 255))
        elif how == "cut":
            del data[at : at + draw(st.integers(1, 40))]
        elif how == "put":
            data[at:at] = draw(st.binary(min_size=1, max_size=8))
        else:
            del data[at + 1 :]
        if not data:
            return b"x"
    return bytes(data)


@pytest.mark.parametrize("name", FILES)
@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_a_harmed_file_is_read_or_named_and_never_ends_in_a_traceback(name: str, data: st.DataObject) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / name
        path.write_bytes(data.draw(harmed(name)))
        for fault in faults_in(path):
            assert fault.code.id.startswith(("GND-", "CORE-"))
            assert fault.where


def faults_in(path: Path) -> tuple[Fault, ...]:
    """What is wrong with a file; nothing when it is read."""
    try:
        read_file(path, zone=ZONE, now=NOW, default_kind=BroughtKind.SET)
    except Refused as problem:
        return problem.faults
    return ()
