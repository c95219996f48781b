"""Owns the shares of a season: efficiency, selectivity, loss, knock-downs, refusals, each with its range.

Does not own the counting (`effort`) or the ranges (`intervals`).
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from tendline.season.effort import Tally
from tendline.season.intervals import Estimate, clopper_pearson, meets, wilson
from tendline.season.stretches import Ending, Stretch

EFFICIENCY_STANDARD = 0.60
"""Share of target animals that spring a device and are held (furbearer best management practice criteria).

Shown beside the figure as the standard of that text; a study enters its own.
"""


_How = Callable[[int, int], Estimate]


@dataclass(frozen=True)
class Share:
    """One share.

    Parameters
    ----------
    name
        ``efficiency``, ``selectivity`` and so on.
    part, whole
        The counts.
    estimate
        With its range.
    of
        What is counted among what, in words.
    standard, met
        A standard beside it, if there is one; whether it is shown to be met: True, False, or None for not
        enough animals to judge.
    """

    name: str
    part: int
    whole: int
    estimate: Estimate
    of: str
    standard: float | None = None
    met: bool | None = None


def shares(
    tally: Tally,
    stretches: Iterable[Stretch],
    *,
    targets: frozenset[str],
    exact: bool = False,
    standard: float = EFFICIENCY_STANDARD,
) -> tuple[Share, ...]:
    """Work out every share of a season.

    Parameters
    ----------
    tally
        The whole season.
    stretches
        The same, for the devices that were out.
    targets
        Species that are targets: an escape of another is not counted against efficiency.
    exact
        Clopper-Pearson ranges; else Wilson's.
    standard
        For efficiency.
    """
    how = clopper_pearson if exact else wilson
    out = list(stretches)
    devices = {one.tag or one.set_name for one in out}
    stood = sum(one.found_as is not None and one.ending is not Ending.DOWN for one in out)
    escaped = sum(n for species, n in tally.escaped.items() if species in targets)
    unknown = tally.escaped.get("unknown", 0)
    found = [_share(how, "efficiency", (tally.target, tally.target + escaped), _EFFICIENCY, standard)]
    if unknown:
        whole = tally.target + escaped + unknown
        found.append(_share(how, "efficiency at worst", (tally.target, whole), _AT_WORST, standard))
    came = tally.refused + sum(tally.escaped.values()) + tally.held
    return (
        *found,
        _share(how, "selectivity", (tally.target, tally.held), "target animals among all held"),
        _share(how, "lost", (tally.lost, len(devices)), "devices lost or stolen among those out"),
        _share(
            how,
            "knocked down",
            (tally.knocked_down, stood),
            "looks that found one down among looks at set devices",
        ),
        _share(
            how,
            "refused",
            (tally.refused, came),
            "refused, ducked or jumped among animals that came to the loop",
        ),
    )


_EFFICIENCY = "target animals held among those held or escaped after it closed"
_AT_WORST = "the same, every escape of an unknown animal counted as a target"


def _share(how: _How, name: str, counts: tuple[int, int], of: str, standard: float | None = None) -> Share:
    part, whole = counts
    met = None if standard is None else meets(part, whole, standard)
    return Share(name, part, whole, how(part, whole), of, standard, met)
