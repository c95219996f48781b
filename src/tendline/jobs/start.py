"""Owns the job `tendline start`: a new line folder.

Does not own what is brought into it.
"""

from pathlib import Path

from tendline.core.errors import refuse
from tendline.core.place import LonLat
from tendline.core.units import Units
from tendline.core.when import zone_named
from tendline.jobs.answer import Answer
from tendline.jobs.faults import CANNOT_WRITE, LINE_EXISTS, NOT_EMPTY
from tendline.jobs.files import write_whole
from tendline.jobs.profiles import known_profile
from tendline.jobs.settings_first import first_settings
from tendline.jobs.workspace import GROUND, LOGBOOK, PAIRED, PAPERS, SETTINGS, clock
from tendline.logbook.events import instant_text
from tendline.logbook.store import Store


def start(
    folder: str,
    *,
    zone: str,
    name: str = "",
    units: str = "us",
    handler: str = "",
    home: LonLat | None = None,
    profiles: tuple[str, ...] = (),
    invented: bool = False,
) -> Answer:
    """Make a new line folder: `line.toml`, an empty logbook, `ground/` and `papers/`.

    Parameters
    ----------
    folder
        Where; made when it is not there, refused when it holds anything.
    zone
        IANA name of the local zone.
    name, handler
        What the line is called (the folder's name when left out), who does the work.
    home
        Where outings start and end.
    profiles
        Rule profiles in use, the first the default.

    Raises
    ------
    Refused
        JOB-102 to JOB-104, CORE-202, RULE-1xx.
    """
    path = Path(folder)
    zone_named(zone, where="--zone")
    for profile in profiles:
        known_profile(profile)
    _refuse_if_taken(path)
    text = first_settings(
        name=name or path.resolve().name,
        zone=zone,
        units=Units(units),
        handler=handler,
        home=home,
        profiles=profiles,
        invented=invented,
    )
    try:
        for part in (path, path / GROUND, path / PAPERS):
            part.mkdir(parents=True, exist_ok=True)
        Store(path / LOGBOOK, now_text=instant_text(clock()), create=True).__exit__()
        write_whole(path / SETTINGS, text.encode())
    except OSError as problem:
        raise refuse(
            CANNOT_WRITE, f"{problem.strerror}.", str(path), "Choose a folder on a disk you may write to."
        ) from problem
    said = [f"A new line folder: {path}.", "Next: tendline bring FILE... (places, parcels, heights)."]
    if not profiles:
        said.append(
            'No rule profile yet: put one into line.toml, such as profiles = ["us-pa"]. '
            "Until then nothing is verified."
        )
    return Answer("\n".join(said), {"folder": str(path), "name": name or path.resolve().name, "zone": zone})


def may_start_in(path: Path) -> bool:
    """Say whether a line may be started here: nothing is there, or nothing but a list of paired browsers."""
    return not path.exists() or (path.is_dir() and all(_ours(one) for one in path.iterdir()))


def _ours(path: Path) -> bool:
    return path.name.removesuffix("-wal").removesuffix("-shm").removesuffix("-journal") == PAIRED


def _refuse_if_taken(path: Path) -> None:
    if (path / LOGBOOK).exists() or (path / SETTINGS).exists():
        raise refuse(LINE_EXISTS, "there is a line here already.", str(path), "Choose another folder.")
    if not may_start_in(path):
        raise refuse(NOT_EMPTY, "it is not an empty folder.", str(path), "Choose a new or an empty folder.")
