"""Owns what is told of each spot besides its travel: access from parking, whose ground, leave, the law.

Does not own the spots (`terrain.pinch`), walking (`terrain.walk`) or the law (`rules`).
"""

from collections.abc import Mapping, Sequence
from datetime import date
from itertools import combinations

from tendline.almanac.geodesy import Projector, distances_m
from tendline.core.errors import Refused
from tendline.core.feature import Feature
from tendline.core.grid import Grid
from tendline.core.line import Barrier, LineState, Parcel, SetStanding, SetState
from tendline.core.place import Fix, LonLat
from tendline.core.settings import Settings
from tendline.core.when import local_day
from tendline.core.words import DeviceClass
from tendline.ground.shapes import parcel_holding
from tendline.jobs.lawful import doubted
from tendline.jobs.lawful_facts import LawCase, spot_cases
from tendline.jobs.round_ground import WALK_REACH_M
from tendline.jobs.walks import fine_enough
from tendline.jobs.workspace import Workspace
from tendline.report.scout_facts import Access, Law, ScoutTold, Shared, SpotTold
from tendline.rules.finding import OPEN, WRONG, Finding, Holds
from tendline.rules.judge import judge
from tendline.rules.rule import Topic
from tendline.rules.shape import Profile
from tendline.terrain.scouting import Scouted
from tendline.terrain.walk import walk_matrix

NEAREST = 2
"""From so many parkings, the nearest by straight distance, the walk to a spot is worked out."""

_ASKED = (Topic.PLACE.value, Topic.PAPER.value)


def shared_spots(told: Sequence[ScoutTold], apart_m: float) -> tuple[Shared, ...]:
    """Say, for every two scoutings of one line, how many spots of the first lie at one of the second.

    Parameters
    ----------
    told
        The scoutings.
    apart_m
        Spots no farther from each other than this are one [m].
    """
    found = []
    for one, other in combinations(told, 2):
        if one.line != other.line or not one.spots or not other.spots:
            continue
        metres = distances_m([s.place for s in one.spots], [s.place for s in other.spots])
        near = int((metres.min(axis=1) <= apart_m).sum())
        pair = [(each.animal, each.weights) for each in (one, other)]
        found.append(Shared(one.line, pair[0], pair[1], near, len(one.spots)))
    return tuple(found)


class Teller:
    """Tells of spots; holds what they share."""

    def __init__(
        self,
        space: Workspace,
        line: LineState,
        *,
        features: Sequence[Feature],
        barriers: Sequence[Barrier],
        profiles: Mapping[str, Profile],
        heights: Grid,
        animal: str,
    ) -> None:
        self._space, self._line = space, line
        self._features, self._barriers, self._profiles = features, barriers, profiles
        self._heights, self._animal = heights, animal

    def tell(self, grid: Grid, scouted: Scouted) -> tuple[SpotTold, ...]:
        """Tell of every spot.

        Parameters
        ----------
        grid
            Whose cells the spots are.
        scouted
            The spots.
        """
        turn = Projector(grid.crs)
        told = []
        for number, (spot, stability) in enumerate(
            zip(scouted.spots, scouted.stability, strict=True), start=1
        ):
            place = turn.to_lonlat(*grid.centre_of(*spot.cell))
            name = f"P{number}"
            parcel = parcel_holding(self._line.parcels.values(), place) or ""
            access, missing = self._access(name, place)
            told.append(
                SpotTold(
                    name=name,
                    place=place,
                    spot=spot,
                    stability=stability,
                    parcel=parcel,
                    leave=leave_words(self._line.parcels.get(parcel), self._today()),
                    access=access,
                    no_access=missing,
                    law=self._law(name, place, parcel, accuracy_m=max(grid.dx, grid.dy)),
                )
            )
        return tuple(told)

    def _today(self) -> date:
        return local_day(self._space.now, self._space.settings.zone)

    def _access(self, name: str, place: LonLat) -> tuple[Access | None, str]:
        parkings = list(self._line.parkings.values())
        if not parkings:
            return None, "no parking on record"
        metres = distances_m([place], [parking.place for parking in parkings])[0]
        near = [parkings[k] for k in metres.argsort()[:NEAREST] if metres[k] <= WALK_REACH_M]
        if not near:
            return None, "no parking within 3 km"
        places = {name: place, **{parking.name: parking.place for parking in near}}
        try:
            found = walk_matrix(
                fine_enough(self._heights, places),
                places,
                groups=[{name, parking.name} for parking in near],
                costs=self._space.settings.walk,
                barriers=self._barriers,
            )
        except Refused as problem:
            return None, f"no way on foot: {problem.faults[0].what}"
        column = found.names.index(name)
        best = min(near, key=lambda parking: found.seconds[found.names.index(parking.name), column])
        row = found.names.index(best.name)
        seconds, length = float(found.seconds[row, column]), float(found.metres[row, column])
        if seconds == float("inf"):
            return None, "no way on foot from the parkings near it"
        return Access(best.name, seconds, length), ""

    def _law(self, name: str, place: LonLat, parcel: str, *, accuracy_m: float) -> Law:
        one = _set_at(name, place, parcel, self._animal, accuracy_m)
        held = spot_cases(self._line, self._features, one, settings=self._space.settings)
        profile = self._profiles.get(held[0].profile)
        if profile is None:
            return Law("", (), 0)
        findings = [finding for case in held for finding in self._judged(profile, case)]
        against = tuple(finding_words(one) for one in findings if speaks_against(one))
        unsure = [
            one for one in findings if one.holds in OPEN or (one.holds is Holds.PASS and not one.verified)
        ]
        return Law(profile.id, tuple(dict.fromkeys(against)), len(unsure))

    def _judged(self, profile: Profile, case: LawCase) -> list[Finding]:
        settings: Settings = self._space.settings
        word = settings.word_on(profile.id)
        found = judge(profile, case.facts, now=self._space.now, confirmation=word, sure=settings.law.sure)
        return [doubted(one, word) for one in found if one.topic in _ASKED]


def _set_at(name: str, place: LonLat, parcel: str, animal: str, accuracy_m: float) -> SetState:
    """Make the set that might stand at a spot; nothing but its place and its animal is known."""
    return SetState(
        name=name,
        tag=None,
        device_class=DeviceClass.LIVE_RESTRAINT,
        fix=Fix(place, accuracy_m),
        parcel=parcel,
        landmark="",
        loop_m=None,
        bottom_m=None,
        surface=None,
        target=animal,
        made_at=None,
        made_by="",
        standing=SetStanding.WORKING,
        looks=(),
        last_seen=None,
    )


def speaks_against(finding: Finding) -> bool:
    """Say whether a finding speaks against a spot: wrong, too close to call, or likely wrong."""
    unlikely = finding.probability is not None and finding.probability < 0.5
    return finding.holds in (*WRONG, Holds.CLOSE) or (finding.holds is Holds.NOT_VERIFIED and unlikely)


def finding_words(finding: Finding) -> str:
    """Write what speaks against a spot in law."""
    start = {Holds.CLOSE: "too close to call: ", Holds.NOT_VERIFIED: "likely against: "}.get(
        finding.holds, ""
    )
    shown = f" ({finding.shown.value_words})" if finding.shown is not None else ""
    return f"{start}{finding.words.rstrip('.')}{shown}"


def leave_words(parcel: Parcel | None, today: date) -> str:
    """Say whose ground it is and what leave is on record; not whether that is enough."""
    if parcel is None:
        return "outside every parcel: find out whose it is"
    if not parcel.permissions:
        return f"{parcel.name}: no leave on record"
    newest = parcel.permissions[-1]
    if newest.told.get("withdrawn"):
        return f"{parcel.name}: leave withdrawn"
    if newest.last is not None and newest.last < today:
        return f"{parcel.name}: leave lapsed on {newest.last}"
    if newest.first is not None and newest.first > today:
        return f"{parcel.name}: leave from {newest.first}"
    return f"{parcel.name}: leave on record" + (f" until {newest.last}" if newest.last is not None else "")
