"""Owns what a person has told tendline about how they work: units, zone, limits of their own, time costs.

Does not own the file it stands in: `jobs.settings_file` reads and writes `line.toml`.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from zoneinfo import ZoneInfo

from tendline.core.people import Helper, PaperHeld
from tendline.core.place import LonLat
from tendline.core.units import Units


@dataclass(frozen=True)
class TimeCosts:
    """Minutes the work takes, to be replaced by the person's own log.

    Defaults are common practice, no source, but for the catch rate: about one coyote in 100 device-nights
    is the middle of published rates from 47 to 184 nights per coyote.

    Parameters
    ----------
    park_s
        Parking, gearing up, locking, writing: once a stop [s].
    look_s
        A look with nothing to do [s].
    fix_s, fix_share
        A repair [s], and the share of sets that need one.
    catch_s
        Handling, logging and carrying out one catch, with the remake [s].
    catches_per_night
        Chance that a working device holds an animal after one night.
    """

    park_s: float = 180.0
    look_s: float = 60.0
    fix_s: float = 360.0
    fix_share: float = 0.1
    catch_s: float = 1500.0
    catches_per_night: float = 0.01


@dataclass(frozen=True)
class WalkCosts:
    """How the person walks.

    Parameters
    ----------
    off_path
        Speed off the path as a share of speed on it; 0.6 is Tobler's own (1993). Not used with a model that
        has a curve of its own off the path.
    snow
        Time in today's snow as a multiple of time on bare ground, 1 or more; not used where `sink_m` is told.
    detour
        Walked distance over straight distance, used only where there is no elevation model, 1 or more.
    steepest_deg
        Ground steeper than this is not walked [degrees].
    model
        Curve of speed by slope, by its name in `almanac.walk_models`.
    own
        This person's time as a multiple of the curve's; 1 until it is learned.
    path_snow
        The same as `snow`, on paths that are trodden or ploughed; None where they are as the rest.
    sink_m
        How deep a foot sinks into today's snow [m]; None to go by `snow`.
    load_kg, body_kg
        What is carried, and the person [kg].
    dark
        Time in the dark as a multiple of time by day, 1 or more.
    paths
        Which lines of the files brought in are paths: ``drawn`` (roads, driveways, trails, and tracks without
        times), ``all`` (recorded tracks too) or ``none``.
    """

    off_path: float = 0.6
    snow: float = 1.0
    detour: float = 1.3
    steepest_deg: float = 45.0
    model: str = "tobler-1993"
    own: float = 1.0
    path_snow: float | None = None
    sink_m: float | None = None
    load_kg: float = 0.0
    body_kg: float = 80.0
    dark: float = 1.0
    paths: str = "drawn"


@dataclass(frozen=True)
class DriveCosts:
    """How the truck moves where the person has given no minutes: always marked as estimated.

    Parameters
    ----------
    speed_kmh
        Mean speed on the roads of the line [km/h].
    detour
        Driven distance over straight distance, 1 or more.
    """

    speed_kmh: float = 40.0
    detour: float = 1.4


@dataclass(frozen=True)
class PersonalLimits:
    """The person's own stricter limits; soft, shown beside the law.

    Parameters
    ----------
    hours
        Longest time between looks they allow themselves [h]; None when they set none.
    before
        Local hour by which every working set should have been looked at, ``10:00``; empty for none.
    """

    hours: float | None = 24.0
    before: str = ""


@dataclass(frozen=True)
class Confirmation:
    """The person's own word that a rule profile is right for this season.

    Parameters
    ----------
    profile
        Which profile.
    confirmed
        The day they went through it.
    until
        The last day for which it holds.
    note
        Whom they asked, what they read.
    doubts
        Values they did not agree to, by rule id, with what they said: those stay "not verified".
    """

    profile: str
    confirmed: date
    until: date
    note: str = ""
    doubts: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class PersonTold:
    """How the person stands to the land and to the law; None when not said.

    Parameters
    ----------
    landowner, occupant, family_of_owner, agent_of_owner
        To the land of the line; where it differs from parcel to parcel, the parcel says `own_land`.
    resident
        Of the state or province.
    lacks
        Kinds of paper that the person does not hold.
    """

    landowner: bool | None = None
    occupant: bool | None = None
    family_of_owner: bool | None = None
    agent_of_owner: bool | None = None
    resident: bool | None = None
    lacks: tuple[str, ...] = ()


@dataclass(frozen=True)
class LawSettings:
    """How the law is asked.

    Parameters
    ----------
    sure
        Chance of being on the right side from which a distance is no longer too close to call.
    drawn
        Classes of feature of which every one near the line is drawn in the files brought in: where none is
        drawn near a set, none is there.
    holidays
        Public holidays, for business days; None when not said.
    quotas
        By rule id, the day on which a quota was reached; None for "not yet". One not there is unknown.
    """

    sure: float = 0.99
    drawn: tuple[str, ...] = ()
    holidays: frozenset[date] | None = None
    quotas: Mapping[str, date | None] = field(default_factory=dict)


@dataclass(frozen=True)
class WeeksSettings:
    """What holds whenever the days ahead are planned.

    Parameters
    ----------
    keep
        Rounds of the person's own, as they are written after ``--keep``.
    storm_mornings
        Chance that travel on a morning takes `storm_factor` times as long [0, 1].
    storm_factor
        How many times as long then, 1 or more; 1.5 is common practice, no source.
    """

    keep: tuple[str, ...] = ()
    storm_mornings: float = 0.0
    storm_factor: float = 1.5


@dataclass(frozen=True)
class Settings:
    """Everything in `line.toml`.

    Parameters
    ----------
    name
        What the line is called.
    zone
        The person's local zone.
    units
        What they read and write.
    handler
        Who does the work, unless a note says otherwise.
    home
        Where outings start and end; None until told.
    profiles
        Rule profiles in use, by short name; the first is the default.
    answers
        Answers to a profile's questions that hold for the whole line: ``{"river-side": "east"}``.
    invented
        The line is an example: every output says so.
    papers, person, law
        Licences and certificates; who the person is to the law; how the law is asked.
    people
        Who else may go round.
    weeks
        What holds whenever the days ahead are planned.
    """

    name: str
    zone: ZoneInfo
    units: Units = Units.US
    handler: str = ""
    home: LonLat | None = None
    profiles: tuple[str, ...] = ()
    answers: Mapping[str, str] = field(default_factory=dict)
    confirmations: tuple[Confirmation, ...] = ()
    time: TimeCosts = field(default_factory=TimeCosts)
    walk: WalkCosts = field(default_factory=WalkCosts)
    drive: DriveCosts = field(default_factory=DriveCosts)
    personal: PersonalLimits = field(default_factory=PersonalLimits)
    invented: bool = False
    papers: tuple[PaperHeld, ...] = ()
    person: PersonTold = field(default_factory=PersonTold)
    law: LawSettings = field(default_factory=LawSettings)
    people: tuple[Helper, ...] = ()
    weeks: WeeksSettings = field(default_factory=WeeksSettings)

    def helper(self, name: str) -> Helper | None:
        """Give somebody by name, however it is spelled; None when nothing is told of them."""
        return next((one for one in self.people if one.name.casefold() == name.casefold()), None)

    def word_on(self, profile: str) -> Confirmation | None:
        """Give the person's newest word on a rule profile; None when they have not given it."""
        given = [word for word in self.confirmations if word.profile == profile]
        return max(given, key=lambda word: word.confirmed, default=None)
