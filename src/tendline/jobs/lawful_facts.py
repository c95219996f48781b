"""Owns putting together everything that the law is asked about: one case for each device, set, parcel, catch.

Does not own the single facts (`law_device`, `law_set`, `law_people`) or the asking (`rules.judge`).
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime

from tendline.core.feature import Feature
from tendline.core.line import Catch, Device, LineState, Parcel, SetState
from tendline.core.place import LonLat
from tendline.core.settings import Settings
from tendline.core.words import FeatureClass
from tendline.ground.features import features_of
from tendline.ground.shapes import outline_holds
from tendline.jobs.law_device import device_facts
from tendline.jobs.law_near import OnParcel, neighbours_of, on_parcel
from tendline.jobs.law_people import catch_facts, catch_name, permissions_of, person_facts, place_facts
from tendline.jobs.law_set import looked_for, set_facts
from tendline.jobs.layers import read_things
from tendline.jobs.workspace import Workspace
from tendline.plan.due import PROFILE_ANSWER, profile_named, watched_set
from tendline.rules.facts import Facts, Neighbour, Subject


@dataclass(frozen=True)
class LawCase:
    """One thing to ask the law about.

    Parameters
    ----------
    subject, name
        What it is about, and which.
    profile
        Name of the rule profile in use for it; empty when there is none.
    facts
        What the law looks at.
    on_parcel
        For a set: whether it stands on its parcel as far as its position tells; None when it has none.
    """

    subject: Subject
    name: str
    profile: str
    facts: Facts
    on_parcel: OnParcel | None = None


def read_features(space: Workspace) -> tuple[Feature, ...]:
    """Read the features of the ground out of every file of places that was brought in.

    Raises
    ------
    Refused
        GND-xxx for a brought file that cannot be read any more.
    """
    with space.store() as store:
        sources = store.sources()
    return features_of(read_things(space, sources))


def lawful_cases(line: LineState, features: Sequence[Feature], *, settings: Settings) -> tuple[LawCase, ...]:
    """Give everything to ask the law about, as the line stands.

    Parameters
    ----------
    line
        The line at the moment asked about.
    features
        Everything drawn on the ground.
    settings
        The person's own.

    Returns
    -------
    tuple of LawCase
        Every device that is not lost or scrapped, every set in the field, every parcel, the person, every
        catch; in that order, each by name.
    """
    maker = _Maker(line, features, settings)
    devices = [d for _, d in sorted(line.devices.items()) if d.state.value in ("in stock", "in the field")]
    return (
        *(maker.device(device) for device in devices),
        *(maker.set(one) for one in line.in_field),
        *maker.parcels(),
        maker.person(),
        *(maker.catch(catch) for catch in line.catches),
    )


def parcel_cases(line: LineState, features: Sequence[Feature], *, settings: Settings) -> tuple[LawCase, ...]:
    """Give what to ask the law about every parcel, and about sets that stand on none."""
    return tuple(_Maker(line, features, settings).parcels())


def spot_cases(
    line: LineState, features: Sequence[Feature], one: SetState, *, settings: Settings
) -> tuple[LawCase, LawCase]:
    """Give what to ask the law about a set that is not there yet: the place itself, and the leave for it."""
    maker = _Maker(line, features, settings)
    place = maker.set(one)
    return place, replace(
        place, subject=Subject.PARCEL, facts=replace(place.facts, about=frozenset({Subject.PARCEL}))
    )


def parcels_holding(line: LineState, one: SetState) -> tuple[Parcel, ...]:
    """Give every parcel that holds a set: the one it is noted on first, then others that lie over it."""
    noted = line.parcels.get(one.parcel)
    others = [
        parcel
        for name, parcel in sorted(line.parcels.items())
        if name != one.parcel and outline_holds(parcel.outline, one.fix.place)
    ]
    return (*((noted,) if noted is not None else ()), *others)


class _Maker:
    """Makes cases of one line; holds what they share."""

    def __init__(self, line: LineState, features: Sequence[Feature], settings: Settings) -> None:
        self._line = line
        self._features = features
        self._settings = settings
        self._at_sets: dict[str, Facts] = {}

    def device(self, device: Device) -> LawCase:
        """Give a device as built; one that hangs in a set is asked with it."""
        hung = self._line.sets.get(device.at_set or "")
        if hung is None:
            facts = self._facts(Subject.DEVICE, at=self._settings.home)
            profile = next(iter(self._settings.profiles), "")
        else:
            facts, profile = self._at_set(hung, Subject.DEVICE), self._profile(hung)
        made = device_facts(device, hung=hung)
        return LawCase(Subject.DEVICE, device.tag, profile, replace(facts, device=made))

    def set(self, one: SetState) -> LawCase:
        """Give a set with its device, its land, the leaves and the person."""
        parcel = self._line.parcels.get(one.parcel)
        stands = on_parcel(one, parcel, sure=self._settings.law.sure) if parcel is not None else None
        return LawCase(
            Subject.SET, one.name, self._profile(one), self._at_set(one, Subject.SET), on_parcel=stands
        )

    def parcels(self) -> Iterator[LawCase]:
        """Give every parcel with its leaves, once for each animal and profile that its sets are for.

        A leave may cover one set and not another. Sets that stand on no parcel are asked too: for them nobody
        has recorded whose leave is needed.
        """
        groups: dict[tuple[str, str, str], list[SetState]] = {}
        for one in sorted(self._line.in_field, key=_first_made):
            name = next((parcel.name for parcel in parcels_holding(self._line, one)), "")
            groups.setdefault((name, one.target, self._profile(one)), []).append(one)
        for name in sorted({*self._line.parcels, *(key[0] for key in groups)}):
            several = [(key, sets) for key, sets in groups.items() if key[0] == name]
            for (_, target, profile), sets in several:
                title = name or "no parcel"
                title = f"{title} ({target or 'no animal named'})" if len(several) > 1 else title
                yield LawCase(Subject.PARCEL, title, profile, self._on_parcel(sets))
            if not several:
                yield self._bare(self._line.parcels[name])

    def _on_parcel(self, sets: Sequence[SetState]) -> Facts:
        """Give the facts of the set made first, with everybody who lives near any of them."""
        facts = self._at_set(sets[0], Subject.PARCEL)
        if facts.place is None or facts.place.neighbours is None:
            return facts
        nearest: dict[str, Neighbour] = {}
        for one in sets:
            for each in neighbours_of(one, self._features):
                if each.name not in nearest or each.distance.least < nearest[each.name].distance.least:
                    nearest[each.name] = each
        return replace(facts, place=replace(facts.place, neighbours=tuple(nearest.values())))

    def _bare(self, parcel: Parcel) -> LawCase:
        facts = replace(
            self._facts(Subject.PARCEL, at=_corner(parcel), answers=dict(parcel.zones)),
            place=place_facts([parcel], neighbours=None),
            permissions=permissions_of([parcel]),
        )
        profile = parcel.zones.get(PROFILE_ANSWER) or next(iter(self._settings.profiles), "")
        return LawCase(Subject.PARCEL, parcel.name, profile, facts)

    def person(self) -> LawCase:
        """Give the person who works the line."""
        facts = self._facts(Subject.PERSON, at=self._settings.home)
        name = facts.person.name if facts.person is not None else ""
        return LawCase(Subject.PERSON, name, next(iter(self._settings.profiles), ""), facts)

    def catch(self, catch: Catch) -> LawCase:
        """Give an animal held, with the set and the device that held it."""
        one = self._line.sets.get(catch.set_name)
        held = catch_facts(catch, self._settings)
        name = catch_name(catch, self._settings.zone)
        if one is None:
            facts = self._facts(Subject.CATCH, at=self._settings.home)
            profile = next(iter(self._settings.profiles), "")
        else:
            facts, profile = self._at_set(one, Subject.CATCH), self._profile(one)
            device = self._line.devices.get(catch.tag or "")
            hung = one if device is not None and device.at_set == one.name else None
            facts = replace(facts, device=device_facts(device, hung=hung) if device is not None else None)
        return LawCase(Subject.CATCH, name, profile, replace(facts, catch=held))

    def _profile(self, one: SetState) -> str:
        return profile_named(one, self._line, settings=self._settings)

    def _at_set(self, one: SetState, subject: Subject) -> Facts:
        """Give all that is known at a set, for one subject; measured once however often it is asked."""
        if one.name not in self._at_sets:
            self._at_sets[one.name] = self._measured(one)
        return replace(self._at_sets[one.name], about=frozenset({subject}))

    def _measured(self, one: SetState) -> Facts:
        law = self._settings.law
        watched = watched_set(one, self._line, settings=self._settings)
        facts = self._facts(Subject.SET, at=one.fix.place, answers=dict(watched.answers))
        parcels = parcels_holding(self._line, one)
        device = self._line.devices.get(one.tag or "")
        gone_round = FeatureClass.DWELLING.value in looked_for(one, law)
        neighbours = neighbours_of(one, self._features) if gone_round else None
        return replace(
            facts,
            device=device_facts(device, hung=one) if device is not None else None,
            set=set_facts(one, self._line, self._features, law=law),
            place=place_facts(parcels, neighbours=neighbours) if parcels else None,
            permissions=permissions_of(parcels) if parcels else None,
            watched=watched,
        )

    def _facts(self, subject: Subject, *, at: LonLat | None, answers: dict[str, str] | None = None) -> Facts:
        return Facts(
            zone=self._settings.zone,
            at=at,
            person=person_facts(self._settings),
            about=frozenset({subject}),
            answers={**self._settings.answers, **(answers or {})},
            holidays=self._settings.law.holidays,
            quota_reached=self._settings.law.quotas,
        )


_NEVER = datetime.max.replace(tzinfo=UTC)


def _first_made(one: SetState) -> tuple[datetime, str]:
    return one.made_at or _NEVER, one.name


def _corner(parcel: Parcel) -> LonLat:
    return parcel.outline.polygons[0][0][0]
