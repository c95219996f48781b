"""Owns what tending costs on a fair day and after snow, and how far the animals of one spot roam.

Does not own the person's own minutes (`core.settings`), which come before any figure here.
"""

import math
from dataclasses import dataclass

METRES2_PER_KM2 = 1e6


@dataclass(frozen=True)
class DayKind:
    """One sort of day; what is None is as the person's own settings have it.

    Parameters
    ----------
    name
        For a person.
    snow
        Walking time as a multiple of that on bare ground, at least; 1 or more.
    fix_share
        Share of sets that need a hand put to them, 0 to 1.
    fix_s
        Time for that [s].
    """

    name: str
    snow: float = 1.0
    fix_share: float | None = None
    fix_s: float | None = None


FAIR = DayKind("fair day")
"""A day as the settings of the line have it."""

AFTER_SNOW = DayKind("morning after snow", snow=1.5, fix_share=0.8, fix_s=240.0)
"""Walking at 2 km/h instead of 3, eight sets in ten in need of four minutes; common practice, no source."""

MAKING_S = 600.0
"""A new set at a spot found before [s]: 5 to 10 minutes on soft ground, 10 to 20 in brush or frozen ground;
common practice, no source."""

ASIDE_M = 20.0
"""How far beside the walk one more set stands on ground that is walked already [m]; common practice, no
source. It is walked there and back."""

WALK_KMH = 3.0
"""Walking off the path with a load [km/h]; common practice, no source: Tobler's 5 km/h on level ground times
0.6 off the path comes to the same."""

LEG_S, GROUND_WALK_S = 360.0, 960.0
"""Drive from one property to the next, and the walk round one (800 m off the path), where the person has none
yet to go by [s]; common practice, no source."""


def set_seconds(
    *, look_s: float, fix_share: float, fix_s: float, catch_share: float, catch_s: float
) -> float:
    """Give the mean time at one set [s]: the look, the repairs and the catches that come to it.

    Parameters
    ----------
    look_s, fix_s, catch_s
        A look, a repair, a catch [s], zero or more.
    fix_share, catch_share
        Repairs and catches to a look, 0 to 1.

    References
    ----------
    Common practice, no source: times added up in the mean. The mean hides that a catch comes all at once.
    """
    return look_s + fix_share * fix_s + catch_share * catch_s


def aside_seconds(metres: float, *, snow: float) -> float:
    """Give the time for a walk of so many metres off the path and back [s].

    Parameters
    ----------
    metres
        One way [m], zero or more.
    snow
        As in `DayKind`.

    References
    ----------
    Common practice, no source (`WALK_KMH`).
    """
    return 2.0 * metres / (WALK_KMH / 3.6) * snow


@dataclass(frozen=True)
class Roaming:
    """How far one kind of animal roams, and how many share that ground.

    Parameters
    ----------
    km2
        Ground that one animal uses [km2].
    animals
        How many use the same ground and can be caught there.
    source
        Where the figures are from.
    """

    km2: float
    animals: float
    source: str

    @property
    def radius_m(self) -> float:
        """Radius of a circle of that size [m]."""
        return math.sqrt(self.km2 * METRES2_PER_KM2 / math.pi)


_PAIR = "a pair on it: common practice, no source"
ROAMING = {
    "coyote": Roaming(
        16.0,
        2.0,
        "mean home range of 11 resident coyotes in Michigan (16.0 km2, SD 5.7), as reported with a trial of "
        f"cable neck restraints for live capture; {_PAIR}",
    ),
    "red fox": Roaming(6.0, 2.0, f"6 km2, from memory: a few km2 on farmland; {_PAIR}"),
    "gray fox": Roaming(3.0, 2.0, f"3 km2, from memory: one to several km2; {_PAIR}"),
}
"""By species, in the trade's words."""

UNKNOWN_ROAMING = Roaming(16.0, 2.0, "taken as for a coyote: no figure is held for this animal")


def roaming_of(species: str) -> Roaming:
    """Give how far a species roams; the ground of a coyote where no figure is held.

    References
    ----------
    `ROAMING` names the source of each figure, or says that there is none.
    """
    return ROAMING.get(species.strip().lower(), UNKNOWN_ROAMING)


SIGN_SURE = {"seen": 1.0, "track-sure": 1.0, "track-likely": 0.5, "unknown": 0.25}
"""What fresh sign counts for, by how sure the species is, beside a spot where it is sure; common practice, no
source."""

SIGN_FRESH_DAYS = 7
"""Sign older than this says little about where the animal goes now; common practice, no source."""
