"""Owns the jobs `tendline gear build` and `gear chain`: a build laid out, its strength, the laws it breaks.

Does not own the file (`gear_file`), the geometry (`gear.build`), the chain (`gear.chain`), the law (`rules`).
"""

from collections.abc import Sequence
from pathlib import Path

from tendline.core.source import Status
from tendline.core.when import local_day
from tendline.core.words import DeviceClass
from tendline.gear.anchor import anchor_links
from tendline.gear.build import Laid, lay_out
from tendline.gear.chain import Chain, LegalMost, Link, Stands, breakaway_of, cable_end, judge_chain
from tendline.jobs.answer import Answer
from tendline.jobs.gear_devices import NONE, Recorded, record_devices
from tendline.jobs.gear_file import BuildFile, read_build
from tendline.jobs.gear_law import breakaway_law
from tendline.jobs.law_device import tag_facts
from tendline.jobs.lawful import doubted
from tendline.jobs.profiles import profile_named
from tendline.jobs.workspace import Workspace
from tendline.report.build_text import (
    Standing,
    build_document,
    build_words,
    chain_document,
    chain_words,
    standing_of,
)
from tendline.rules.facts import (
    Across,
    DeviceFacts,
    Facts,
    LoopSize,
    Measure,
    Part,
    PartAt,
    Point,
    Subject,
)
from tendline.rules.judge import judge
from tendline.rules.load import shipped_profiles


def gear_build(
    space: Workspace,
    file: str | None,
    *,
    changes: Sequence[str] = (),
    devices: Recorded = NONE,
    text: str | None = None,
) -> Answer:
    """Lay out a build, judge its chain, and hold it against every profile.

    Parameters
    ----------
    space
        The opened line.
    file, changes, text
        The build: a file, words such as ``cable.make=7x7``, words over a file, or what it would hold.
    devices
        Put these on record as of this build.

    Returns
    -------
    Answer
        Bad news when it is against a profile in use, or something may give way before the breakaway.

    Raises
    ------
    Refused
        GEAR-101, 102, 104 to 107, CORE-101, JOB-301, RULE-1xx; LOG-xxx for tags that cannot be recorded.
    """
    read = read_build(None if file is None else Path(file), changes, text=text)
    laid, chain = lay_out(read.build), chain_of(read)
    legal = _legal(space)
    standings = _standings(space, device_facts_of(read, laid))
    units = space.settings.units
    said = "\n\n".join([build_words(read.build, laid, standings, units), chain_words(chain, legal, units)])
    data = {**build_document(read.build, laid, standings), "chain": chain_document(chain, legal)}
    if devices.tags or devices.rebuilt:
        kept = record_devices(space, read, laid, devices)
        said, data = f"{said}\n\n{kept.text}", {**data, **kept.data}
    wrong = any(standing.in_use and standing.wrong for standing in standings)
    return Answer(said, data, bad_news=wrong or gives_way(chain))


def gear_chain(space: Workspace, file: str | None, *, changes: Sequence[str] = ()) -> Answer:
    """Judge the chain of a build, and its breakaway by the laws in use; raises as `gear_build`."""
    read = read_build(None if file is None else Path(file), changes)
    lay_out(read.build)
    chain, legal = chain_of(read), _legal(space)
    over = any(
        limit.stands(chain.breakaway) in ("over", "may be over") for limit in legal if not limit.only_if_used
    )
    return Answer(
        f"{read.build.name}\n\n{chain_words(chain, legal, space.settings.units)}",
        {"build": read.build.name, "chain": chain_document(chain, legal)},
        bad_news=gives_way(chain) or over,
    )


def _legal(space: Workspace) -> tuple[LegalMost, ...]:
    """Give the most that each law in use lets a breakaway hold."""
    settings = space.settings
    found: list[LegalMost] = []
    for name in settings.profiles:
        profile = profile_named(space, name)
        day = local_day(space.now, profile.legal_time.zone or settings.zone)
        word = settings.word_on(profile.id)
        found += breakaway_law(profile, day=day, confirmation=word, answers=settings.answers)
    return tuple(found)


def gives_way(chain: Chain) -> bool:
    """Say whether any link may give way before the breakaway opens."""
    return any(each.stands in (Stands.FAILS, Stands.MAY_FAIL) for each in chain.links)


def chain_of(read: BuildFile) -> Chain:
    """Put the chain of a build together, from the lock to the ground.

    Raises
    ------
    Refused
        GEAR-102, GEAR-104, GEAR-105.
    """
    breakaway = breakaway_of(read.value("breakaway", "label"), read.value("breakaway", "pulls") or ())
    kind = read.value("end", "kind") or "hammered-ferrule"
    links = [cable_end(read.build.cable, kind, pulled_n=read.value("end", "pulled"))]
    links += [_bought(read, name) for name in ("swivel", "link") if name in read.tables]
    anchor = read.anchor()
    if anchor is None:
        links.append(Link("anchor", None, None, Status.UNKNOWN, "no anchor is described"))
    else:
        links += anchor_links(anchor)
    return judge_chain(breakaway, tuple(links))


def _bought(read: BuildFile, name: str) -> Link:
    holds = read.value(name, "holds")
    if holds is None:
        said = "no load is said and no source read gives one: test your own"
        return Link(name, None, None, Status.UNKNOWN, said)
    return Link(name, holds, holds, Status.SECONDARY, "as you gave it")


def device_facts_of(read: BuildFile, laid: Laid) -> DeviceFacts:
    """Give a build as the law looks at a device; what is not said stays unknown."""
    cable, value = read.build.cable, read.value
    label, pulls = value("breakaway", "label"), value("breakaway", "pulls")
    smallest = laid.smallest_across_m
    return DeviceFacts(
        name=read.build.name,
        device_class=DeviceClass.LIVE_RESTRAINT,
        subtype=value("", "subtype"),
        loop_open=LoopSize(Measure(laid.largest_across_m, how="by its stop"), Across.DIAMETER),
        stop=None if smallest is None else LoopSize(Measure(smallest, how="by its stop"), Across.DIAMETER),
        breakaway=_breakaway(label, pulls),
        breakaway_method="static-load" if pulls else value("breakaway", "method"),
        breakaway_at=value("breakaway", "at"),
        cable_diameter=Measure(cable.diameter_m),
        construction=cable.make,
        lengths=_lengths(read, laid),
        extension=_measure(read.build.extension_m),
        parts=_parts(read),
        lock=value("lock", "name"),
        tag=tag_facts({f"tag_{key}": value for key, value in read.tables.get("tag", {}).items()}),
        relaxing_lock=value("lock", "relaxing"),
        mechanical_lock=value("lock", "mechanical"),
        single_piece_lock=value("lock", "single_piece"),
        lock_moving_parts=value("lock", "moving_parts"),
        power_assisted=value("lock", "power_assisted"),
        compression_choke=value("lock", "choke"),
        # One strand of nineteen wires may or may not be what a text means by several strands.
        multi_strand=None if cable.make == "1x19" else True,
        drag=False if "anchor" in read.tables else None,
        anchor_woody_stem=False if "anchor" in read.tables else None,
        anchor_immovable=value("anchor", "immovable"),
        galvanised=cable.material == "galvanised",
        commercial_breakaway=value("breakaway", "bought"),
        has_stop=smallest is not None,
        has_breakaway="breakaway" in read.tables and bool(label or pulls),
    )


def _measure(metres: float | None) -> Measure | None:
    return None if metres is None else Measure(metres)


def _breakaway(label: float | None, pulls: tuple[float, ...] | None) -> Measure | None:
    if pulls:
        return Measure(sum(pulls) / len(pulls), min(pulls), max(pulls), how="your own pull tests")
    return None if label is None else Measure(label, how="as marked on the pack")


def _lengths(read: BuildFile, laid: Laid) -> dict[tuple[Point, Point], Measure]:
    ends = {
        Point.LOCK_AT_STOP: laid.to_lock_m,
        Point.LOCK_OPEN: laid.to_lock_open_m,
        Point.CABLE_END: read.build.cable.length_m,
    }
    found = {(Point.EXTENSION_END, end): Measure(metres) for end, metres in ends.items()}
    extension = _measure(read.build.extension_m)
    if extension is not None:
        found |= {(Point.ANCHOR, end): Measure(metres).plus(extension) for end, metres in ends.items()}
    return found


def _parts(read: BuildFile) -> dict[Part, tuple[PartAt, ...]]:
    counts = {part.name: part.count for part in read.build.parts}
    found: dict[Part, tuple[PartAt, ...]] = {}
    for name, kind in (
        ("lock", Part.LOCK),
        ("stop", Part.STOP),
        ("support", Part.SUPPORT),
        ("tag", Part.TAG),
    ):
        if name in counts:
            found[kind] = (PartAt(),) * counts[name]
    if "breakaway" in counts:
        at = read.value("breakaway", "at")
        found[Part.BREAKAWAY] = (PartAt(Point(at) if at else None),) * counts["breakaway"]
    if "swivel" in counts:
        places = [Point(word) for word in read.value("swivel", "at") or ()]
        length, free = _measure(read.value("swivel", "length")), read.value("swivel", "free")
        found[Part.SWIVEL] = tuple(
            PartAt(places[k] if k < len(places) else None, length, free) for k in range(counts["swivel"])
        )
    extension = _measure(read.build.extension_m)
    if extension is not None:
        found[Part.EXTENSION] = (PartAt(length=extension),) if extension.value > 0 else ()
    return found


def _standings(space: Workspace, device: DeviceFacts) -> tuple[Standing, ...]:
    """Hold a build against every shipped profile that is not invented, and every one in use."""
    in_use = space.settings.profiles
    names = [*in_use, *(name for name in shipped_profiles() if name not in in_use)]
    facts = Facts(
        zone=space.settings.zone,
        device=device,
        about=frozenset({Subject.DEVICE}),
        answers=space.settings.answers,
    )
    found = []
    for name in names:
        profile = profile_named(space, name)
        if profile.invented and name not in in_use:
            continue
        confirmation = space.settings.word_on(profile.id)
        findings = judge(profile, facts, now=space.now, confirmation=confirmation)
        told = tuple(doubted(finding, confirmation) for finding in findings)
        found.append(standing_of(profile.id, told, in_use=name in in_use))
    return tuple(found)
