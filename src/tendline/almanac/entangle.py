"""Owns what the trade counts as an entanglement, and which sticks may lie at a loop.

Does not own what a law counts, which may be any object at all (`rules`), or the reach (`reach`).
"""

from tendline.core.units import METRES_PER_INCH

WOODY_M = METRES_PER_INCH / 2
"""Woody growth this thick or thicker within reach counts as an entanglement: common practice, no source."""


def woody_counts(thick_m: float | None) -> bool | None:
    """Say whether woody growth within reach counts as an entanglement: common practice, no source.

    Parameters
    ----------
    thick_m
        Thickness of the stem [m]; None when nobody measured it.

    Returns
    -------
    bool or None
        True from half an inch up; None when it was not measured, which is no leave to let it stand.
    """
    return None if thick_m is None else thick_m >= WOODY_M


def stick_faults(*, thick_m: float | None, dead: bool | None, driven: bool | None) -> tuple[str, ...]:
    """Say what is wrong with a stick laid over or beside a loop to turn deer: common practice, no source.

    Parameters
    ----------
    thick_m
        Its thickness [m].
    dead
        It is dead and brittle, so that it breaks.
    driven
        It is driven into the ground.

    Returns
    -------
    tuple of str
        One sentence each; empty when it is dead, brittle, loose and under half an inch. What nobody noted is
        said as well.
    """
    faults = []
    if thick_m is None:
        faults.append("how thick the stick is, is not noted")
    elif thick_m >= WOODY_M:
        faults.append("the stick is half an inch thick or more")
    if dead is None:
        faults.append("whether the stick is dead and brittle is not noted")
    elif not dead:
        faults.append("the stick is not dead and brittle")
    if driven is None:
        faults.append("whether the stick is driven in is not noted")
    elif driven:
        faults.append("the stick is driven into the ground")
    return tuple(faults)
