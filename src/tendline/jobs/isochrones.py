"""Owns the job that says how far one gets on foot from places: bands of time for the map on the desk.

Does not own the search (`terrain.isochrone`) or the map.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from tendline.core.errors import FaultList, Refused, refuse
from tendline.core.line import LineState
from tendline.core.place import LonLat
from tendline.jobs.faults import NO_GROUND, WORD
from tendline.jobs.heights import has_heights, heights_round
from tendline.jobs.layers import barriers_in, paths_of, read_things
from tendline.jobs.walks import fine_enough
from tendline.jobs.words_in import place_value
from tendline.jobs.workspace import Workspace

if TYPE_CHECKING:
    from tendline.terrain.isochrone import TimeField

MINUTES = (5.0, 10.0, 15.0, 20.0, 30.0, 45.0, 60.0)
"""Edges of the bands, unless others are asked for [min]."""

MOST_MINUTES = 240.0
MOST_BYTES = 400_000


@dataclass(frozen=True, eq=False)
class Isochrones:
    """How far one gets from a place, or from the nearest of several.

    Parameters
    ----------
    starts
        From where, by name: as on record, or as asked.
    bands
        GeoJSON FeatureCollection: each band a MultiPolygon with `from_min`, `to_min` and `area_ha`.
    sets
        Minutes on foot to each set in the field, by name; None beyond the last band, or without a way.
    said
        What the reader must know, a sentence each.
    """

    starts: dict[str, LonLat]
    bands: dict[str, Any]
    sets: dict[str, float | None]
    said: tuple[str, ...]

    def document(self) -> dict[str, Any]:
        """Give it as one JSON document: starts, bands (GeoJSON, WGS84), minutes to each set, what to know."""
        return {
            "starts": [
                {"name": name, "lon": round(place.lon, 7), "lat": round(place.lat, 7)}
                for name, place in self.starts.items()
            ],
            "bands": self.bands,
            "sets": [{"set": name, "walk_min": minutes} for name, minutes in self.sets.items()],
            "said": list(self.said),
        }


def isochrones(
    space: Workspace,
    starts: str | Sequence[str],
    *,
    minutes: Sequence[float] = MINUTES,
    dark: bool = False,
    max_bytes: int = MOST_BYTES,
    scheduler: str | None = None,
) -> Isochrones:
    """Say how far one gets on foot.

    Parameters
    ----------
    space
        The opened line.
    starts
        A parking, set or landmark by its name, or LON,LAT; or several of them: the nearest counts.
    minutes
        Edges of the bands, rising, above 0 and up to 240 [min].
    dark
        Whether one walks in the dark.
    max_bytes
        How large the bands may be; they are drawn coarser until they are no larger.
    scheduler
        Address of a dask scheduler for a very large piece of ground, which is searched in tiles.

    Raises
    ------
    Refused
        JOB-301 for minutes or a start that cannot be used; JOB-403 without an elevation model; JOB-404,
        TERR-1xx, GND-4xx, GND-5xx.
    """
    edges = tuple(float(one) for one in minutes)
    rising = all(a < b for a, b in zip((0.0, *edges), edges, strict=False))
    if not edges or not rising or edges[-1] > MOST_MINUTES:
        told = ", ".join(f"{one:g}" for one in edges)
        do = f"Give rising minutes, above 0 and up to {MOST_MINUTES:g}."
        raise refuse(WORD, f"'{told}' are no bands of time.", "minutes", do)
    line = space.line()
    places = _starts(line, [starts] if isinstance(starts, str) else starts)
    field, said = _field(space, places, limit_s=edges[-1] * 60.0, dark=dark, scheduler=scheduler)
    sets: dict[str, float | None] = {}
    from tendline.almanac.geodesy import Projector  # noqa: PLC0415 - heavy
    from tendline.ground.contour_out import BandOut, bands_within  # noqa: PLC0415
    from tendline.terrain.isochrone import bands_of  # noqa: PLC0415

    projector = Projector(field.grid.crs)
    for one in line.in_field:
        cell = field.grid.cell_of(*projector.to_xy(one.fix.place))
        seconds = float(field.seconds[cell]) if cell is not None else float("inf")
        sets[one.name] = round(seconds / 60, 1) if seconds <= field.limit_s else None
    bands = [
        BandOut(band.polygons, round(band.from_s / 60, 2), round(band.to_s / 60, 2), band.area_m2)
        for band in bands_of(field, [one * 60.0 for one in edges])
    ]
    cell_m = max(field.grid.dx, field.grid.dy)
    return Isochrones(places, bands_within(bands, projector, cell_m, most_bytes=max_bytes), sets, said)


def _field(
    space: Workspace, starts: Mapping[str, LonLat], *, limit_s: float, dark: bool, scheduler: str | None
) -> "tuple[TimeField, tuple[str, ...]]":
    with space.store() as store:
        sources = store.sources()
    if not has_heights(sources):
        do = "Bring an elevation model as GeoTIFF."
        raise refuse(NO_GROUND, "there is no elevation model to walk on.", "", do)
    from tendline.almanac.gait import gait_of  # noqa: PLC0415 - heavy
    from tendline.terrain.isochrone import time_to_all  # noqa: PLC0415

    # Nobody walks faster than 2 m/s over any ground on foot here: so far, and no farther, heights are read.
    heights = heights_round(space, sources, starts, reach_m=2.0 * limit_s)
    things = read_things(space, sources)
    costs = space.settings.walk
    field = time_to_all(
        fine_enough(heights.grid, starts, round_about_m=2.0 * limit_s),
        starts,
        limit_s=limit_s,
        costs=costs,
        barriers=barriers_in(things),
        paths=paths_of(things, costs.paths),
        dark=dark,
        scheduler=scheduler,
    )
    how = ", ".join(gait_of(costs, dark=dark).said)
    return field, (f"walking times from {', '.join(heights.files)}: {how}", *heights.said)


def _starts(line: LineState, words: Sequence[str]) -> dict[str, LonLat]:
    known = {one.name.lower(): (one.name, one.place) for one in line.landmarks.values()}
    known |= {one.name.lower(): (one.name, one.fix.place) for one in line.in_field}
    known |= {one.name.lower(): (one.name, one.place) for one in line.parkings.values()}
    faults, found = FaultList(), dict[str, LonLat]()
    for word in words:
        text = word.strip()
        try:
            name, place = known.get(text.lower()) or (text, place_value(text, where="the start").place)
            found[name] = place
        except Refused:
            do = "Name a place on record, or give longitude and latitude."
            faults.add(WORD, f"'{text}' is no parking, set or landmark, and no LON,LAT.", "the start", do)
    if not words:
        faults.add(WORD, "no start is told.", "the start", "Name at least one place.")
    faults.refuse()
    return found
