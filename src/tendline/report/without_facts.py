"""Owns the shape of what is told while somebody cannot go: who else may, what each set needs, what is lost.

Does not own how it is found (`plan`, `jobs`) or worded (`report.without_text`, `report.without_json`).
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from zoneinfo import ZoneInfo

from tendline.core.units import Units
from tendline.plan.weeks_nouns import PlannedOuting


@dataclass(frozen=True)
class Goes:
    """Somebody else, whether they may go in the words of `jobs.weeks_people`, and why."""

    who: str
    may_word: str
    why: tuple[str, ...]
    cites: tuple[str, ...] = ()
    phone: str = ""
    planned_with: bool = False


@dataclass(frozen=True)
class Act:
    """What one set needs: its limit, from when on a look lasts, what to do, who does it and when."""

    set_name: str
    due: datetime | None
    lasts_from: datetime | None
    do: str
    who: str
    look: datetime | None
    parcel: str = ""
    landmark: str = ""


@dataclass(frozen=True)
class CannotKeep:
    """A set nobody comes to in time: its limit, the latest start straight to it, when to phone for that."""

    set_name: str
    due: datetime | None
    leave_by: datetime | None
    phone_by: datetime | None


@dataclass(frozen=True)
class Closing:
    """Whether closing stops the clock under one profile; None is not verified."""

    profile: str
    stops: bool | None
    cites: tuple[str, ...] = ()


@dataclass(frozen=True)
class WithoutFacts:
    """Everything that is told while somebody cannot go.

    Parameters
    ----------
    without, first, last
        Who, first and last day.
    kept_until
        Limits are kept up to here.
    in_field
        Sets in the field whose clock runs.
    who, acts, outings, cannot
        Who else may go; what each set needs; the outings; what nobody comes to in time.
    phone_by, leave_by
        By when each helper must be phoned, and must leave.
    closing
        By profile.
    own_over, own_hours
        Sets at which the person's own limit passes before the planned look, and that limit [h].
    said
        What must be told with it.
    """

    line: str
    zone: ZoneInfo
    units: Units
    without: tuple[str, ...]
    first: date
    last: date
    now: datetime
    kept_until: datetime
    in_field: int
    who: tuple[Goes, ...]
    acts: tuple[Act, ...]
    outings: tuple[PlannedOuting, ...]
    cannot: tuple[CannotKeep, ...]
    phone_by: Mapping[str, datetime] = field(default_factory=dict)
    leave_by: Mapping[str, datetime] = field(default_factory=dict)
    closing: tuple[Closing, ...] = ()
    own_over: tuple[str, ...] = ()
    own_hours: float | None = None
    said: tuple[str, ...] = ()
    invented: bool = False

    @property
    def sheet(self) -> str:
        """The command that makes a sheet for whoever goes; empty when nothing is to be done."""
        names = ",".join(act.set_name for act in self.acts)
        return f"tendline paper finder-sheet --sets {names}" if names else ""
