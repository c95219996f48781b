"""Owns holding predictions of travel against what was recorded after them: sign seen, animals caught.

Does not own the predictions (`scout_files`) or the sums (`season.predicted`).
"""

from collections.abc import Iterable, Sequence
from datetime import datetime
from pathlib import Path

import numpy as np

from tendline.almanac.geodesy import Projector
from tendline.core.errors import refuse
from tendline.core.grid import Grid
from tendline.core.line import LineState
from tendline.core.place import LonLat
from tendline.jobs.answer import Answer
from tendline.jobs.faults import PREDICTION
from tendline.jobs.scout import SEED
from tendline.jobs.scout_files import Prediction, kept_predictions, write_files
from tendline.jobs.workspace import Workspace
from tendline.logbook.corrected import effective
from tendline.report.scout_facts import Compared, ScoutTold
from tendline.report.scout_json import compared_document
from tendline.report.scout_plot import calibration_svg
from tendline.report.scout_text import compared_text
from tendline.season.predicted import Calibration, calibrate

MOST_PLACES = 200_000
"""So many cells of the area stand for all of it."""


def compare(space: Workspace, *, out: Path | None = None, width: int = 100) -> Answer:
    """Say how the predictions kept have fared.

    Parameters
    ----------
    space
        The opened line.
    out
        Folder for the calibration plots; none are drawn when None.
    width
        Of the terminal [characters].

    Raises
    ------
    Refused
        JOB-414 when no prediction was kept, or one cannot be read; JOB-104.
    """
    predictions = kept_predictions(space)
    if not predictions:
        raise refuse(
            PREDICTION, "no prediction was kept.", "", "Keep one before you go: tendline scout --keep."
        )
    line = space.line()
    compared = [
        Compared(one.file, one.animal, one.made_at, _sign(space, line, one), _catches(space, line, one))
        for one in predictions
    ]
    plots = {f"{one.file.removesuffix('.npz')}.svg": calibration_svg(one).encode() for one in compared}
    written = write_files(out, plots) if out is not None else ()
    told = ScoutTold("", "", "", 0, 0.0, 0.0, 0, (), (), (), written, space.settings, space.now)
    return Answer(compared_text(compared, told, width=width), compared_document(compared, told))


def _sign(space: Workspace, line: LineState, one: Prediction) -> Calibration:
    places: list[LonLat] = []
    for event in effective(space.events()):
        if event.event.kind != "sign-seen" or not one.made_at < event.happened_at <= space.now:
            continue
        if str(event.body.get("species", "")).strip().lower() != one.animal:
            continue
        held = line.sets.get(str(event.body.get("set", "")))
        if event.fix is not None:
            places.append(event.fix.place)
        elif held is not None:
            places.append(held.fix.place)
    everywhere = one.travel.z[~np.isnan(one.travel.z)].astype(np.float64)
    step = max(1, everywhere.size // MOST_PLACES)
    return calibrate(travel_at(one.travel, places), everywhere[::step], None, seed=SEED)


def _catches(space: Workspace, line: LineState, one: Prediction) -> Calibration:
    held = {s.name: value for s in line.sets.values() for value in travel_at(one.travel, [s.fix.place])}
    nights = {s.name: nights_out(s.made_at, s.pulled_at, one.made_at, space.now) for s in line.sets.values()}
    caught = [
        catch.set_name
        for catch in line.catches
        if one.made_at < catch.at <= space.now and catch.species.strip().lower() == one.animal
    ]
    names = [name for name in held if nights[name] > 0]
    seen = [held[name] for name in caught if name in held]
    return calibrate(seen, [held[name] for name in names], [nights[name] for name in names], seed=SEED)


def nights_out(made: datetime | None, pulled: datetime | None, start: datetime, end: datetime) -> float:
    """Give how long a set was out between two instants [nights]; one without a time counts from the start."""
    first = start if made is None else max(made, start)
    last = end if pulled is None else min(pulled, end)
    return max(0.0, (last - first).total_seconds() / 86_400.0)


def travel_at(travel: Grid, places: Iterable[LonLat]) -> Sequence[float]:
    """Give the prediction at places; those outside the area are left out."""
    turn = Projector(travel.crs)
    found = []
    for place in places:
        cell = travel.cell_of(*turn.to_xy(place))
        if cell is not None and not np.isnan(travel.z[cell]):
            found.append(float(travel.z[cell]))
    return found
