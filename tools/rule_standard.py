"""Owns the standard set that every shipped rule profile is asked about: one build, one hanging, any day.

Does not own what is done with the answers (`make_rule_snapshots`, `tests/rules`). All of it is invented. It
is a careful build on private land with every paper: what a profile finds wrong with it is worth a look.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from tendline.core.place import LonLat
from tendline.core.settings import Confirmation
from tendline.core.words import DeviceClass
from tendline.rules.answer import Watched
from tendline.rules.facts import (
    Across,
    CatchFacts,
    Datum,
    DeviceFacts,
    Facts,
    LoopSize,
    Measure,
    Near,
    Paper,
    Part,
    PartAt,
    PermissionFacts,
    PersonFacts,
    PlaceFacts,
    Point,
    SetFacts,
    Tag,
)
from tendline.rules.nouns import FEATURES
from tendline.rules.shape import Profile

IN, FT, LBF = 0.0254, 0.3048, 4.4482216152605
"""Inch and foot [m], pound-force [N]; exact."""


@dataclass(frozen=True)
class Spot:
    """Where the standard set stands in one place of law: position and zone."""

    lon: float
    lat: float
    zone: str


SPOTS: Mapping[str, Spot] = {
    "ca-on": Spot(-79.0, 44.5, "America/Toronto"),
    "us-ia": Spot(-93.5, 42.0, "America/Chicago"),
    "us-in": Spot(-86.1, 40.2, "America/Indiana/Indianapolis"),
    "us-ks": Spot(-98.4, 38.5, "America/Chicago"),
    "us-ky": Spot(-84.9, 37.6, "America/New_York"),
    "us-me": Spot(-69.2, 45.2, "America/New_York"),
    "us-mi": Spot(-84.9, 44.3, "America/Detroit"),
    "us-mn": Spot(-94.3, 46.3, "America/Chicago"),
    "us-mo": Spot(-92.5, 38.4, "America/Chicago"),
    "us-ne": Spot(-98.3, 41.1, "America/Chicago"),
    "us-nh": Spot(-71.6, 43.7, "America/New_York"),
    "us-nj": Spot(-74.7, 40.2, "America/New_York"),
    "us-ny": Spot(-75.5, 42.9, "America/New_York"),
    "us-oh": Spot(-82.7, 40.3, "America/New_York"),
    "us-pa": Spot(-78.0, 41.5, "America/New_York"),
    "us-sc": Spot(-81.0, 34.0, "America/New_York"),
    "us-sd": Spot(-99.0, 44.4, "America/Chicago"),
    "us-tn": Spot(-86.4, 35.8, "America/Chicago"),
    "us-tx": Spot(-98.5, 31.5, "America/Chicago"),
    "us-va": Spot(-78.8, 37.5, "America/New_York"),
    "us-wi": Spot(-89.8, 44.6, "America/Chicago"),
    "xx-demo": Spot(-63.2, 41.58, "America/New_York"),
}
"""About the middle of each place; the invented county lies in the sea."""

_PAPERS = (
    "cable-restraint-course",
    "furtaker-licence",
    "snare-course",
    "trapping-course",
    "trapping-licence",
)


def inches(value: float) -> Measure:
    """Give a length in inches as a measure without any spread [m]."""
    return Measure(value * IN)


def feet(value: float) -> Measure:
    """Give a length in feet as a measure without any spread [m]."""
    return Measure(value * FT)


DEVICE = DeviceFacts(
    name="201",
    device_class=DeviceClass.LIVE_RESTRAINT,
    subtype="neck-type",
    loop_open=LoopSize(inches(10), Across.DIAMETER),
    stop=LoopSize(inches(4.5), Across.DIAMETER),
    loop_now=LoopSize(inches(10), Across.DIAMETER),
    breakaway=Measure(280 * LBF),
    breakaway_method="static-load",
    breakaway_at="lock",
    cable_diameter=inches(3 / 32),
    construction="7x7",
    lengths={
        (Point.ANCHOR, Point.LOCK_AT_STOP): inches(66),
        (Point.ANCHOR, Point.CABLE_END): inches(76),
    },
    extension=inches(18),
    parts={
        Part.SWIVEL: (
            PartAt(Point.ANCHOR, inches(3), free=True),
            PartAt(Point.HALFWAY, inches(2), free=True),
        ),
        Part.STOP: (PartAt(),),
        Part.LOCK: (PartAt(Point.LOCK),),
        Part.BREAKAWAY: (PartAt(Point.LOCK),),
    },
    lock="",
    tag=Tag(
        frozenset({"name", "address", "driver-licence-number", "state"}),
        "copper",
        ferrous=False,
        durable=True,
        attached=True,
    ),
    relaxing_lock=True,
    mechanical_lock=True,
    single_piece_lock=True,
    lock_moving_parts=False,
    power_assisted=False,
    compression_choke=False,
    kill_pole=False,
    drag=False,
    anchor_immovable=True,
    anchor_woody_stem=False,
    multi_strand=True,
    galvanised=True,
    commercial_breakaway=True,
    good_order=True,
    has_stop=True,
    has_breakaway=True,
)
"""The standard build: an open loop 10 in across, a stop at 4 1/2 in, 3/32 in cable, a breakaway of 280 lb."""

SET = SetFacts(
    name="S1",
    species="coyote",
    bottom=dict.fromkeys(Datum, inches(8)),
    top=dict.fromkeys(Datum, inches(18)),
    snow_at_set=True,
    reach=feet(8),
    near=(
        Near("dwelling", feet(400), not_waived=frozenset({"consent", "notice"})),
        Near("road", feet(200), edge="outside-edge"),
        Near("fence", feet(30)),
        Near("other-set", feet(300)),
    ),
    looked_for=frozenset(FEATURES),
    obstacles=(),
    stem_clear=None,
    attached_to_fence=False,
    in_livestock_enclosure=False,
    in_path_of_people=False,
    in_path_of_domestic_animals=False,
    in_right_of_way=False,
    in_water=False,
    suspends_catch=False,
    bait_covered=True,
    actively_checked=True,
    closed_to_stop=False,
)
"""The standard hanging: bottom 8 in and top 18 in above whatever surface is asked for; nothing close by."""


LAND = PlaceFacts("north", "private", "other", ("A. Owner (invented)",), (), own_land=False, farm_land=False)
"""Private land that is neither the trapper's own nor farmed; nobody lives near."""

PERSON = PersonFacts(
    "Lena Orsk",
    tuple(Paper(kind, date(2026, 8, 1), date(2030, 12, 31), carried=True) for kind in _PAPERS),
    landowner=False,
    occupant=False,
    family_of_owner=False,
    agent_of_owner=False,
    resident=True,
)
"""An invented person with every paper that any profile asks for."""

LEAVE = PermissionFacts(
    "A. Owner (invented)",
    date(2026, 9, 1),
    None,
    written=True,
    signed=True,
    carried=True,
    methods=frozenset({"snare"}),
    species=frozenset({"coyote", "red fox", "gray fox"}),
    filed=date(2026, 9, 2),
    filed_known=True,
)
"""The owner's leave, as good as paper can be."""

CATCH = CatchFacts(
    "S1",
    "coyote",
    alive=True,
    domestic=False,
    licensed_dog=False,
    releasable=True,
    wish="keep",
    done=(),
    permits=frozenset(_PAPERS),
)
"""A coyote, alive, to be kept; nothing has been done yet."""


@dataclass(frozen=True)
class Told:
    """Everything that a case may alter about the standard set, and what follows from it."""

    device: DeviceFacts = DEVICE
    hanging: SetFacts = SET
    land: PlaceFacts = LAND
    person: PersonFacts = PERSON
    leave: PermissionFacts = LEAVE
    catch: CatchFacts = CATCH

    def on(
        self,
        profile: Profile,
        made: datetime,
        *,
        answers: Mapping[str, str] | None = None,
        device_class: DeviceClass | None = None,
    ) -> Facts:
        """Give the facts of a set made, and an animal found, at one moment, aware."""
        spot = SPOTS[profile.id]
        zone, place = ZoneInfo(spot.zone), LonLat(spot.lon, spot.lat)
        device = replace(self.device, device_class=device_class or self.device.device_class)
        told = first_answers(profile) if answers is None else answers
        return Facts(
            zone=zone,
            at=place,
            device=device,
            set=replace(self.hanging, made_at=made),
            place=self.land,
            person=self.person,
            permissions=(self.leave,),
            catch=replace(self.catch, found_at=made),
            answers=told,
            holidays=frozenset(),
            watched=Watched("S1", device.device_class, place, zone, made, answers=told),
        )


def first_answers(profile: Profile) -> Mapping[str, str]:
    """Answer every question of a profile with the first answer it holds."""
    return {name: next(iter(question.answers)) for name, question in profile.questions.items()}


def zone_of(profile: Profile) -> ZoneInfo:
    """Give the law's clock where the standard set stands."""
    return profile.legal_time.zone or ZoneInfo(SPOTS[profile.id].zone)


def local(profile: Profile, day: date, clock: time) -> datetime:
    """Give a clock time of a day where the standard set stands, aware UTC."""
    return datetime.combine(day, clock, zone_of(profile)).astimezone(UTC)


def confirmed(profile: Profile) -> Confirmation:
    """Give the word of a person who has gone through the profile, for every day asked about."""
    return Confirmation(profile.id, date(2000, 1, 1), date(2099, 12, 31))


def days(first: date, count: int) -> list[date]:
    """Give so many days in a row."""
    return [first + timedelta(days=n) for n in range(count)]
