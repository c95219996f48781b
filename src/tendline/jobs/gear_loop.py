"""Owns the job `tendline gear loop`: the loop for an animal, a place, the snow and the law, with its picture.

Does not own the advice (`gear.loop`), the limits (`gear_law`) or the drawing (`report.loop_picture`).
"""

from dataclasses import replace

from tendline.almanac.animals import ANIMALS, chest_band, deer_chest, head_band
from tendline.almanac.datum import Base
from tendline.almanac.loop_tables import Recommended, recommended
from tendline.almanac.loops import Reach
from tendline.core.errors import FaultList, refuse
from tendline.core.units import parse_length
from tendline.core.when import local_day
from tendline.core.words import PlaceKind
from tendline.gear.faults import WORD
from tendline.gear.loop import LoopAdvice, LoopLaw, advise
from tendline.gear.own import Own
from tendline.gear.snowpack import Pack
from tendline.jobs.answer import Answer
from tendline.jobs.faults import CANNOT_WRITE
from tendline.jobs.files import write_whole
from tendline.jobs.gear_law import loop_law
from tendline.jobs.gear_own import OwnRecord
from tendline.jobs.profiles import profile_named
from tendline.jobs.workspace import PAPERS, Workspace
from tendline.report.gear_text import loop_document, loop_words
from tendline.report.loop_picture import Band, LoopPicture, loop_svg
from tendline.report.loop_terminal import loop_text


def gear_loop(
    space: Workspace,
    animal: str,
    where: str,
    *,
    base: str | None = None,
    new: str | None = None,
    sinking: str | None = None,
    log: str | None = None,
    profile: str | None = None,
    draw: bool = False,
    width: int = 80,
) -> Answer:
    """Give the loop for an animal.

    Parameters
    ----------
    space
        The opened line.
    animal, where
        A key of `ANIMALS`; a word of `PlaceKind`.
    base, new, sinking
        Snow as written: old snow that bears weight, new on it, how deep the tracks go.
    log
        Height of the top of the log above the ground as written, for a log crossing.
    profile
        The law; the first of the line when left out.
    draw
        Write the picture as SVG into `papers/`.
    width
        Of the terminal [characters].

    Returns
    -------
    Answer
        Bad news where law and animal leave nothing in common.

    Raises
    ------
    Refused
        GEAR-103, GEAR-104, CORE-101, RULE-1xx; JOB-104 when the drawing cannot be written.
    """
    place, rows, own = loop_figures(space, animal, where)
    pack = Pack(
        _depth(base, "--base-snow") or 0.0,
        _depth(new, "--new-snow") or 0.0,
        _depth(sinking, "--sinking"),
        _raised(place, log),
    )
    law = law_of_loop(space, profile, snow_lies=pack.snow_m > 0.0)
    found = advise(animal, place, rows=rows, pack=pack, law=law)
    law = found.law
    picture = picture_of(found, law, own)
    units = space.settings.units
    text = (
        loop_words(found, law, own, units, width=max(60, min(100, width)))
        + "\n\n"
        + loop_text(picture, units, width=max(60, width))
    )
    data = loop_document(found, law, own, picture)
    if draw:
        data["drawing"] = _drawn(space, found, loop_svg(picture, units))
        text += f"\n\nDrawn to scale: {data['drawing']}"
    return Answer(text, data, bad_news=not found.agree)


def loop_figures(
    space: Workspace, animal: str, where: str
) -> tuple[PlaceKind, tuple[Recommended, ...], Own | None]:
    """Give the place, the figures for an animal there with the person's own, and what the person measured.

    Raises
    ------
    Refused
        GEAR-104.
    """
    faults = FaultList()
    if animal not in ANIMALS:
        faults.add(WORD, f"there is no table for '{animal}'.", "", f"Animals: {', '.join(ANIMALS)}.")
    words = [each.value for each in PlaceKind]
    if where not in words:
        faults.add(WORD, f"'{where}' is no place for a loop.", "--where", f"Places: {', '.join(words)}.")
    faults.refuse()
    place = PlaceKind(where)
    mine = OwnRecord((e for e in space.events() if e.happened_at <= space.now), animal, place)
    rows = (*recommended(animal, place), *mine.rows())
    if not rows:
        have = [a for a in ANIMALS if recommended(a, place)]
        what = f"no table or custom read gives a loop for a {animal}, {where.replace('-', ' ')}."
        raise refuse(WORD, what, "--where", f"There are figures for: {', '.join(have)}.")
    return place, rows, mine.measures()


def _raised(place: PlaceKind, log: str | None) -> float | None:
    """Give how high the top of the log lies over the ground [m]; 0 without one, None where nobody said."""
    if place is PlaceKind.LOG_CROSSING:
        return _depth(log, "--log")
    if log is not None:
        raise refuse(WORD, "only a log-crossing has a log.", "--log", "Give --where log-crossing with it.")
    return 0.0


def _depth(text: str | None, where: str) -> float | None:
    return None if text is None else parse_length(text, where=where)


def law_of_loop(space: Workspace, name: str | None, *, snow_lies: bool) -> LoopLaw | None:
    """Give what a profile says of the loop, the first in use when none is named; None where none is in use.

    Raises
    ------
    Refused
        RULE-1xx.
    """
    chosen = name or next(iter(space.settings.profiles), None)
    if chosen is None:
        return None
    profile = profile_named(space, chosen)
    day = local_day(space.now, profile.legal_time.zone or space.settings.zone)
    confirmation = space.settings.word_on(profile.id)
    return loop_law(
        profile,
        day=day,
        confirmation=confirmation,
        snow_lies=snow_lies,
        answers=space.settings.answers,
    )


def picture_of(found: LoopAdvice, law: LoopLaw | None, own: Own | None) -> LoopPicture:
    """Give what is drawn of an advice: the largest loop, at the middle of the heights that suit."""
    animal, walked, loop = ANIMALS[found.animal], found.walked_on, found.ovals[1]
    bands = []
    for limit in law.heights if law is not None else ():
        surface = found.pack.surface(limit.base)
        low = (limit.low_m or 0.0) + surface.high_m
        high = surface.low_m + limit.high_m if limit.high_m is not None else low + loop.height_m
        most = " at most" if limit.low_m is None else ""
        bands.append(Band(f"law, {limit.part} of the loop{most}", Reach(min(low, high), high)))
    # A deer stands beside the log, not on it.
    trodden = replace(found.pack, raised_m=0.0).surface(Base.FOOTPRINT)
    title = f"{found.animal}, {found.where.value.replace('-', ' ')}, {law.profile if law else 'no profile'}"
    return LoopPicture(
        title=title,
        base_m=found.pack.base_m,
        new_m=found.pack.new_m,
        walked=walked,
        loop=loop,
        bottom_m=max(0.0, (found.bottom.low_m + found.bottom.high_m) / 2.0),
        law=tuple(bands),
        chest=_on(walked, chest_band(animal)),
        head=_on(walked, head_band(animal)),
        deer=_on(trodden, deer_chest()),
        log_m=found.pack.lift_m,
        zero=found.pack.zero,
        own_chest=_on(walked, own.chest) if own is not None and own.chest is not None else None,
    )


def _on(surface: Reach, height: Reach) -> Reach:
    return Reach(surface.low_m + height.low_m, surface.high_m + height.high_m)


def _drawn(space: Workspace, found: LoopAdvice, svg: str) -> str:
    path = space.folder / PAPERS / f"loop-{found.animal.replace(' ', '-')}-{found.where.value}.svg"
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        write_whole(path, svg.encode())
    except OSError as problem:
        raise refuse(CANNOT_WRITE, f"{problem.strerror}.", str(path), "See to the disk.") from problem
    return str(path)
