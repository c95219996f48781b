"""Owns turning the record of land, leaves, people and catches into what the law looks at of them.

Does not own the law (`rules`). What is not recorded stays None.
"""

from collections.abc import Iterable, Sequence
from datetime import date, datetime
from zoneinfo import ZoneInfo

from tendline.core.line import Catch, Parcel, Permission
from tendline.core.settings import Settings
from tendline.core.when import local_day
from tendline.core.words import Fate, Standing
from tendline.rules.facts import (
    ActDone,
    CatchFacts,
    Neighbour,
    Paper,
    PermissionFacts,
    PersonFacts,
    PlaceFacts,
)

CABLE_WORDS = frozenset(
    {"snare", "cable", "cable-restraint", "cable restraint", "cable-device", "cable device", "live-restraint"}
)
"""What a leave that names cable devices is taken to name, as laws put it."""


def place_facts(parcels: Sequence[Parcel], *, neighbours: tuple[Neighbour, ...] | None) -> PlaceFacts:
    """Give the land a set stands on.

    Parameters
    ----------
    parcels
        Every parcel that holds it, the one it is noted on first; at least one. Over a right-of-way lie
        several, and every owner's leave is needed.
    neighbours
        Everybody who lives near; None when nobody has gone round.
    """
    first = parcels[0]
    owners: dict[str, None] | None = {}
    for parcel in parcels:
        found = owners_of(parcel)
        owners = None if found is None or owners is None else owners | dict.fromkeys(found)
    return PlaceFacts(
        name=first.name,
        land_class=first.told.get("land_class"),
        county=first.told.get("county"),
        owners=None if owners is None else tuple(owners),
        neighbours=neighbours,
        own_land=first.told.get("own_land"),
        farm_land=first.told.get("farm_land"),
    )


def owners_of(parcel: Parcel) -> tuple[str, ...] | None:
    """Give everybody whose leave is needed on a parcel; nobody on one's own land; None when not recorded."""
    if parcel.told.get("own_land"):
        return ()
    if parcel.told.get("owners"):
        return tuple(parcel.told["owners"])
    return (parcel.owner,) if parcel.owner else None


def permissions_of(parcels: Iterable[Parcel]) -> tuple[PermissionFacts, ...]:
    """Give every leave on record for some parcels."""
    return tuple(_permission(leave, parcel) for parcel in parcels for leave in parcel.permissions)


def _permission(leave: Permission, parcel: Parcel) -> PermissionFacts:
    told = leave.told
    filed_on = told.get("filed_on")
    return PermissionFacts(
        owner=_whose(leave, parcel),
        issued=leave.first,
        until=leave.last,
        written=leave.written,
        signed=told.get("signed"),
        carried=told.get("carried"),
        methods=_methods(leave),
        species=frozenset(told["species"]) if "species" in told else None,
        filed=date.fromisoformat(filed_on) if filed_on else None,
        filed_known=bool(filed_on) or told.get("filed") is False,
        withdrawn=date.fromisoformat(told["withdrawn"]) if "withdrawn" in told else None,
    )


def _whose(leave: Permission, parcel: Parcel) -> str:
    """Name the owner whose leave it is: as the parcel spells it; of a single owner whoever spoke for them."""
    owners = owners_of(parcel) or ()
    same = [owner for owner in owners if owner.casefold() == leave.given_by.casefold()]
    if same:
        return same[0]
    return owners[0] if len(owners) == 1 else leave.given_by


def _methods(leave: Permission) -> frozenset[str] | None:
    if "methods" in leave.told:
        named = frozenset(leave.told["methods"])
        return named | CABLE_WORDS if leave.names_cables else named
    if leave.names_cables is None:
        return None
    return CABLE_WORDS if leave.names_cables else frozenset()


def person_facts(settings: Settings, *, name: str = "") -> PersonFacts:
    """Give the person who works the line."""
    told = settings.person
    papers = tuple(Paper(p.kind, p.first, p.last, p.carried) for p in settings.papers)
    return PersonFacts(
        name=name or settings.handler or "the handler",
        papers=papers,
        lacks=frozenset(told.lacks),
        landowner=told.landowner,
        occupant=told.occupant,
        family_of_owner=told.family_of_owner,
        agent_of_owner=told.agent_of_owner,
        resident=told.resident,
    )


_WISHES = {Fate.KEPT.value: "keep", Fate.RELEASED.value: "release", Fate.RELEASED_INJURED.value: "release"}


def catch_facts(catch: Catch, settings: Settings) -> CatchFacts:
    """Give one animal held as the law looks at it; what became of it counts as done when it was found."""
    wish = _WISHES.get(catch.fate, "")
    done = [ActDone(act.act, act.at) for act in catch.acts]
    if wish and wish not in {act.act for act in done}:
        done.append(ActDone(wish, catch.at))
    told = catch.told
    harvested = told.get("harvested_at")
    return CatchFacts(
        name=catch_name(catch, settings.zone),
        species=catch.species,
        found_at=catch.at,
        harvested_at=datetime.fromisoformat(harvested) if harvested else None,
        alive=True if wish == "release" else told.get("alive"),
        domestic=catch.standing == Standing.DOMESTIC,
        licensed_dog=told.get("licensed_dog"),
        releasable=told.get("releasable"),
        wish=wish,
        done=tuple(done),
        permits=_permits(settings, on=local_day(catch.at, settings.zone)),
        lacks=frozenset(settings.person.lacks),
        held=told.get("kept_as", ""),
    )


def catch_name(catch: Catch, zone: ZoneInfo) -> str:
    """Name a catch by its set and local day."""
    return f"{catch.set_name} {local_day(catch.at, zone)}"


def _permits(settings: Settings, *, on: date) -> frozenset[str]:
    return frozenset(
        p.kind
        for p in settings.papers
        if (p.first is None or p.first <= on) and (p.last is None or on <= p.last)
    )


def leave_on_record(parcel: Parcel, today: date) -> tuple[bool, str]:
    """Say whether the newest leave on record stands today, and in words; not whether that is enough."""
    if not parcel.permissions:
        return False, "no leave on record"
    newest = parcel.permissions[-1]
    if newest.told.get("withdrawn"):
        return False, "leave withdrawn"
    if newest.last is not None and newest.last < today:
        return False, f"leave lapsed on {newest.last}"
    if newest.first is not None and newest.first > today:
        return False, f"leave from {newest.first}"
    return True, "leave on record" + (f" until {newest.last}" if newest.last is not None else "")
