"""Owns the forecast a person handed in last: kept in the line folder, and read again for what it spoils.

Does not own reading one (`weather.given_forecast`). A forecast is no record: the next one takes its place.
"""

import json
from pathlib import Path

from tendline.core.errors import Refused, refuse
from tendline.core.when import rfc3339
from tendline.jobs.answer import Answer
from tendline.jobs.faults import CANNOT_WRITE
from tendline.jobs.files import write_all
from tendline.jobs.weather import given_forecast, weather
from tendline.jobs.workspace import Workspace

FOLDER = "forecast"
_NOTE = "forecast.json"


def keep_forecast(space: Workspace, *, words: str = "", file: Path | None = None, name: str = "") -> Answer:
    """Keep a forecast, once it can be read and reaches beyond now.

    Parameters
    ----------
    space
        The opened line.
    words, file
        Typed in, or a saved file; exactly one of them.
    name
        What the person calls the file.

    Returns
    -------
    Answer
        What it says of itself.

    Raises
    ------
    Refused
        As `weather.given_forecast`; JOB-104 when it cannot be kept.
    """
    forecast = given_forecast(space, space.line(), file, words or None)
    folder = space.folder / FOLDER
    shown = name or (file.name if file is not None else "")
    kept = "" if file is None else f"kept{Path(shown).suffix.lower()[:12]}"
    note = {"kept_at": rfc3339(space.now), "words": words, "file": kept, "name": shown}
    contents = {folder / _NOTE: json.dumps(note, ensure_ascii=False).encode()}
    if file is not None:
        contents = {folder / kept: file.read_bytes(), **contents}
    try:
        folder.mkdir(exist_ok=True)
        write_all(contents)
    except OSError as problem:
        do = "Free some space, or check whose the folder is."
        raise refuse(CANNOT_WRITE, f"{problem.strerror}.", str(folder), do) from problem
    zone = space.settings.zone
    told = {"source": forecast.source, "end": rfc3339(forecast.span.end, zone), "notes": list(forecast.notes)}
    return Answer(f"Kept: {forecast.source}.", told, warnings=forecast.notes)


def weather_kept(space: Workspace, *, days: int = 2) -> Answer | str:
    """Say what the kept forecast spoils; why there is none when there is none, or when it is over.

    Parameters
    ----------
    space
        The opened line.
    days
        How many local days, today the first.
    """
    note = space.folder / FOLDER / _NOTE
    if not note.is_file():
        return "no forecast was handed in: what the weather spoils is not known"
    try:
        told = json.loads(note.read_text(encoding="utf-8"))
        words, file = str(told["words"]), str(told["file"])
    except (OSError, ValueError, KeyError):
        return "the kept forecast cannot be read: hand it in again"
    try:
        path = space.folder / FOLDER / Path(file).name if file else None
        return weather(space, path, words=words or None, days=days)
    except Refused as problem:
        return f"the forecast handed in {told['kept_at'][:16]} is of no use: {problem.faults[0].what}"
