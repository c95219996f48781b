"""Owns the job `tendline demo`: the invented example is built, and the main job done on it.

Does not own the example (`jobs.example`).
"""

import shutil
import tempfile
from collections.abc import Callable, Sequence
from datetime import date, datetime, time, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from tendline.core.errors import refuse
from tendline.core.when import local_day, local_instant, parse_instant, rfc3339, zone_named
from tendline.jobs.answer import Answer
from tendline.jobs.bring import bring
from tendline.jobs.due import due
from tendline.jobs.example.build import BUILD
from tendline.jobs.example.diary import DAYS, Entry, diary
from tendline.jobs.example.farms import spots
from tendline.jobs.example.files import example_files, home
from tendline.jobs.example.gear import PAPERS, TOLD, devices, hangings, leaves, workshop
from tendline.jobs.example.hills import hills
from tendline.jobs.faults import NOT_EMPTY
from tendline.jobs.files import write_whole
from tendline.jobs.gear_builds import BUILDS, keep_build
from tendline.jobs.note import completed, judge
from tendline.jobs.paper import write_card
from tendline.jobs.round import Asked, plan, round_map
from tendline.jobs.start import start
from tendline.jobs.workspace import LOGBOOK, SETTINGS, Workspace, clock, open_workspace
from tendline.report.itinerary_text import round_text

ZONE = "America/Halifax"
NAME = "Corran Hollow"
HANDLER = "Ann Example"
EVENING = time(20, 30)
"""The hour at which the example looks at the line."""

FIRST_MONTH = 11
"""The papers of the invented handler are of the autumn before the diary."""

FIRST_LOOK, START, BACK = time(5, 15), "05:00", "12:00"
"""When the mornings of the diary begin, and the next outing."""

_CONFIRMED = """
[[confirmed]]
profile = "xx-demo"
on = {on}
until = {until}
note = "invented: there is nothing to confirm"
"""


def demo(
    folder: str,
    *,
    fresh: bool = False,
    at: str | None = None,
    width: int = 100,
    tell: Callable[[str], None] = print,
) -> Answer:
    """Build the example and run the main job on it.

    Parameters
    ----------
    folder
        Where; must be new or empty, or hold an example built before.
    fresh
        Build it again over an example that is there.
    at
        The evening to pretend, as written; the last evening that has been when left out.
    width
        Of the terminal [characters].
    tell
        Is told how far things are.

    Raises
    ------
    Refused
        JOB-102, JOB-103 when something else is in the folder.
    """
    path = Path(folder)
    evening = _evening(at)
    _clear(path, fresh=fresh)
    tell("building the invented line")
    _build(path, evening)
    space = open_workspace(folder, at=rfc3339(evening))
    board = due(space, width=width)
    tell("planning tomorrow's round")
    planned = plan(space, Asked(start=START, back=BACK, seconds=8.0), tell=tell)
    card = write_card(space, planned)
    parts = [
        board.text,
        "",
        round_text(planned.verdict, planned.facts, width=width),
        "",
        round_map(planned, width=min(width, 100)),
        "",
        card.text,
        "",
        _go_on(path, evening, space.settings.zone),
    ]
    data = {
        "folder": str(path),
        "at": rfc3339(evening, space.settings.zone),
        "due": board.data,
        "card": card.data,
    }
    return Answer("\n".join(parts), data)


def _evening(at: str | None) -> datetime:
    zone, now = zone_named(ZONE), clock()
    if at is not None:
        return parse_instant(at, zone=zone, now=now, where="--at")
    today = local_instant(local_day(now, zone), EVENING, zone)
    return today if today <= now else local_instant(local_day(now, zone) - timedelta(days=1), EVENING, zone)


def _clear(path: Path, *, fresh: bool) -> None:
    """Make room: only an example, which says in its settings that it is invented, is ever taken away."""
    if not path.exists() or not any(path.iterdir()):
        return
    settings = path / SETTINGS
    is_example = settings.is_file() and "invented = true" in settings.read_text(encoding="utf-8")
    if not (fresh and is_example and (path / LOGBOOK).is_file()):
        raise refuse(
            NOT_EMPTY,
            "the folder is there and is not empty.",
            str(path),
            "Choose a new folder; --fresh builds over an example made before, and over nothing else.",
        )
    shutil.rmtree(path)


def _build(path: Path, evening: datetime) -> None:
    zone = ZoneInfo(ZONE)
    last_morning = local_day(evening, zone)
    first_day = last_morning - timedelta(days=DAYS - 1)
    first_look = local_instant(first_day, FIRST_LOOK, zone)
    made = first_look - timedelta(hours=21)
    start(str(path), zone=ZONE, name=NAME, handler=HANDLER, home=home(), profiles=("xx-demo",), invented=True)
    _tell_settings(path / SETTINGS, first_day, last_morning)
    _write(path, evening, list(devices(len(spots(hills())), made - timedelta(days=30))))
    names = _bring(path, made, evening)
    measured = first_look + timedelta(days=DAYS - 1, hours=8)
    entries = [*leaves(made, made.date()), *diary(names, first_look), *hangings(names, measured)]
    entries += workshop(len(names), made - timedelta(days=30), first_look)
    _write(path, evening, entries)
    keep_build(open_workspace(str(path), at=rfc3339(evening)), f"{BUILDS}/coyote-and-fox.toml", BUILD)


def _tell_settings(path: Path, first_day: date, last_morning: date) -> None:
    text = path.read_text(encoding="utf-8")
    for table, told in TOLD.items():
        text = text.replace(table, told)
    text += _CONFIRMED.format(on=first_day, until=last_morning + timedelta(days=60))
    season = first_day.year if first_day.month >= FIRST_MONTH else first_day.year - 1
    text += PAPERS.format(year=season, next_year=season + 1)
    write_whole(path, text.encode())


def _bring(path: Path, made: datetime, evening: datetime) -> list[str]:
    files = example_files(made)
    with tempfile.TemporaryDirectory() as scratch:
        for name, content in files.items():
            (Path(scratch) / name).write_bytes(content)
        bring(open_workspace(str(path), at=rfc3339(evening)), [str(Path(scratch) / name) for name in files])
    line = open_workspace(str(path), at=rfc3339(evening)).line()
    return [one.name for one in sorted(line.in_field, key=lambda s: (s.parcel, s.name))]


def _write(path: Path, evening: datetime, entries: Sequence[Entry]) -> None:
    space: Workspace = open_workspace(str(path), at=rfc3339(evening))
    with space.store() as store, store.transaction():
        events = store.events()
        drafts = [space.draft(e.kind, e.body, happened_at=e.at) for e in entries]
        drafts = completed(space, drafts, events)
        judge(space, drafts, events)
        store.append(drafts)


def _go_on(path: Path, evening: datetime, zone: ZoneInfo) -> str:
    at = rfc3339(evening, zone)[:16]
    return (
        f"This was an invented example that pretends it is {at}. Go on with it:\n"
        f"  tendline due --line {path} --at {at}\n"
        f"  tendline lawful --line {path} --at {at}\n"
        f"  tendline round --line {path} --at {at} --start {START} --back {BACK}\n"
        f"  tendline season --line {path} --at {at}\n"
        f"  tendline serve --line {path} --at {at} --start {START} --back {BACK}\n"
        f"  tendline audit --line {path}"
    )
