"""Owns the job `tendline learn`: the person's own times out of the record, offered, never silently applied.

Does not own what walks and checks say (`learn_walks`, `learn_looks`) or the ranges (`season.own_times`).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from tendline.core.errors import refuse
from tendline.core.settings import Settings
from tendline.core.units import Units, format_distance, format_small
from tendline.core.when import local_day
from tendline.jobs.answer import Answer
from tendline.jobs.faults import WORD
from tendline.jobs.learn_looks import Looks, looks_on_record
from tendline.jobs.learn_stays import stays_at_sets
from tendline.jobs.learn_walks import Outings, ground_by_day, recorded_outings
from tendline.jobs.settings_change import Change, change_settings
from tendline.jobs.walks import Tell
from tendline.jobs.workspace import SETTINGS, Workspace
from tendline.logbook.corrected import effective
from tendline.logbook.fold import line_at
from tendline.report.say import INVENTED

ALL = "all"

_KINDS = {"look": "a look with nothing to do", "fix": "a repair", "catch": "a catch"}


@dataclass(frozen=True)
class Offer:
    """One value that the record would put in place of another.

    Parameters
    ----------
    key
        In `line.toml`: ``walk.own``.
    now
        What stands there.
    value, low, high
        What is offered, and the range that holds the true value in nine cases of ten.
    basis
        What it rests on, in words.
    digits
        Decimals worth writing.
    """

    key: str
    now: float
    value: float
    low: float
    high: float
    basis: str
    digits: int = 2

    def text(self, number: float) -> str:
        """Write a number as the setting has it."""
        return f"{number:.{self.digits}f}"


def learn(space: Workspace, *, accept: Sequence[str] = (), tell: Tell = lambda _: None) -> Answer:
    """Say what the record teaches of the person's own times.

    Parameters
    ----------
    space
        The opened line.
    accept
        Keys whose offered values are to be written into `line.toml`, or ``all``; none leaves it as it is.
    tell
        Is told how far things are.

    Raises
    ------
    Refused
        JOB-301 for a key that is not on offer; JOB-1xx, JOB-2xx, GND-xxx, TERR-1xx. Nothing is written then.
    """
    events = space.events()
    standing = effective(events)
    line = line_at(events, at=space.now)
    with space.store() as store:
        sources = store.sources()
    grounds = ground_by_day(space, standing)
    walks = recorded_outings(space, sources, grounds)
    looks = looks_on_record(space, line, standing, sources, grounds=grounds, tell=tell)
    looks.stays = stays_at_sets(space, line, standing, sources, walks)
    offers, missing = offers_of(space.settings, walks, looks)
    taken = _taken(offers, accept)
    if taken:
        day = local_day(space.now, space.settings.zone)
        change_settings(space.folder / SETTINGS, [_change(offer) for offer in taken], day=day)
    return Answer(_text(space, offers, missing, taken), _document(space, offers, missing, taken))


def offers_of(settings: Settings, walks: Outings, looks: Looks) -> tuple[list[Offer], dict[str, str]]:
    """Give what can be offered, and for the rest what is missing, by key."""
    offers: list[Offer] = []
    missing: dict[str, str] = {}
    _offer_walking(settings, walks, looks, offers, missing)
    own = next((offer.value for offer in offers if offer.key == "walk.own"), settings.walk.own)
    snow = next((offer.value for offer in offers if offer.key == "walk.snow"), settings.walk.snow)
    _offer_times(settings, looks, (own, snow), offers, missing)
    from tendline.season.own_times import LEAST_CHECKS, share  # noqa: PLC0415 - heavy

    checks = looks.plain + looks.fixed
    found = share(looks.fixed, checks)
    if found is None:
        missing["time.fix_share"] = f"{checks} checks on record; {LEAST_CHECKS} are needed"
    else:
        basis = f"{looks.fixed} repairs in {checks} checks without a catch"
        now = settings.time.fix_share
        offers.append(Offer("time.fix_share", now, found.value, found.low, found.high, basis))
    return offers, missing


def _offer_walking(
    settings: Settings, walks: Outings, looks: Looks, offers: list[Offer], missing: dict[str, str]
) -> None:
    from tendline.season import own_times  # noqa: PLC0415 - heavy

    least = own_times.LEAST_OUTINGS
    plain = walks.bare if len(walks.bare) >= least else [*walks.bare, *walks.unsaid]
    own = own_times.factor(plain)
    if own is not None:
        length = format_distance(walks.metres, settings.units)
        unsaid = len(plain) - len(walks.bare)
        doubt = f"; of {unsaid} nobody noted whether snow lay" if unsaid else ""
        basis = f"{own.count} outings without snow noted, {length} recorded in all{doubt}"
        offers.append(Offer("walk.own", settings.walk.own, own.value, own.low, own.high, basis))
    elif (told := _from_gaps(looks)) is not None:
        own = told
        basis = f"{own.count} times from one look to the next, no recorded walk"
        offers.append(Offer("walk.own", settings.walk.own, own.value, own.low, own.high, basis))
    else:
        why = "; ".join(walks.said) or f"{len(plain)} recorded outings without snow"
        missing["walk.own"] = (
            f"{why}; {least} outings, or {own_times.LEAST_GAPS} times from look to look, are needed"
        )
    snow = own_times.factor_against(walks.snow, plain)
    if snow is None:
        missing["walk.snow"] = (
            f"{len(walks.snow)} recorded outings in snow that was noted, {len(plain)} without; "
            f"{least} of each are needed"
        )
    else:
        depth = _depths(walks.depths_m, settings.units)
        basis = f"{len(walks.snow)} outings in snow{depth} against {len(plain)} without"
        value, low = max(snow.value, 1.0), max(snow.low, 1.0)
        offers.append(Offer("walk.snow", settings.walk.snow, value, low, max(snow.high, 1.0), basis))


def _from_gaps(looks: Looks) -> "Any":
    from tendline.season.own_times import walk_and_look  # noqa: PLC0415 - heavy

    plain = [gap for gap in looks.gaps if gap.kind == "look" and not gap.snowy]
    found = walk_and_look([gap.walk_s for gap in plain], [gap.seconds for gap in plain])
    return found[0] if found is not None and found[0].low > 0 else None


def _offer_times(
    settings: Settings,
    looks: Looks,
    factors: tuple[float, float],
    offers: list[Offer],
    missing: dict[str, str],
) -> None:
    from tendline.season.own_times import LEAST_TIMES, middle  # noqa: PLC0415 - heavy

    own, snow = factors
    now = {"look": settings.time.look_s, "fix": settings.time.fix_s, "catch": settings.time.catch_s}
    for kind, what in _KINDS.items():
        key = f"time.{kind}_min"
        rest = [
            gap.seconds - gap.walk_s * own * (snow if gap.snowy else 1.0)
            for gap in looks.gaps
            if gap.kind == kind
        ]
        ways = (
            (looks.noted[kind], "times noted with the check"),
            (looks.stays.get(kind, []), "times within 20 m of the set on recorded walks"),
            (rest, f"times from one look to the next, less the walk at {own:.2f} times the curve"),
        )
        told = next(((found, times, words) for times, words in ways if (found := middle(times))), None)
        if told is None or told[0].value <= 0:
            count = max(len(times) for times, _ in ways)
            missing[key] = f"{count} times of {what} on record; {LEAST_TIMES} are needed"
            continue
        found, times, words = told
        value, low, high = (max(one, 0.0) / 60 for one in (found.value, found.low, found.high))
        offers.append(Offer(key, now[kind] / 60, value, low, high, f"{len(times)} {words}", digits=1))


def _depths(depths_m: Sequence[float], units: Units) -> str:
    if not depths_m:
        return ""
    low, high = (format_small(depth, units) for depth in (min(depths_m), max(depths_m)))
    return f" of {low}" if low == high else f" of {low} to {high}"


def _taken(offers: Sequence[Offer], accept: Sequence[str]) -> list[Offer]:
    if not accept:
        return []
    keys = [offer.key for offer in offers]
    unknown = [word for word in accept if word not in (*keys, ALL)]
    if unknown or not keys:
        what = f"{', '.join(unknown or accept)} is not on offer."
        raise refuse(WORD, what, "--accept", f"On offer: {', '.join(keys) or 'nothing yet'}.")
    return [offer for offer in offers if ALL in accept or offer.key in accept]


def _change(offer: Offer) -> Change:
    table, key = offer.key.split(".")
    why = f"learned: {offer.basis}; {offer.text(offer.low)} to {offer.text(offer.high)}"
    instead = ("sink_cm", "sink_in") if offer.key == "walk.snow" else ()
    return Change(table, key, offer.text(offer.value), why, instead)


def _text(space: Workspace, offers: Sequence[Offer], missing: dict[str, str], taken: Sequence[Offer]) -> str:
    lines = [INVENTED, ""] if space.settings.invented else []
    if offers:
        lines.append("What your record says of your own times; nine times in ten the truth is in the range.")
    for offer in offers:
        value, low, high = (offer.text(number) for number in (offer.value, offer.low, offer.high))
        lines.append(f"  {offer.key} = {value}   now {offer.now:g}; range {low} to {high}; {offer.basis}")
    if missing:
        lines += ["", "Not enough yet:"] if offers else ["Not enough on record yet:"]
        lines += [f"  {key}: {why}" for key, why in missing.items()]
    if taken:
        lines += ["", f"Written into line.toml: {', '.join(offer.key for offer in taken)}."]
        lines.append("The old lines stand beside them as comments.")
    elif offers:
        lines += ["", "Nothing was changed. To write a value into line.toml: tendline learn --accept KEY"]
    return "\n".join(lines)


def _document(
    space: Workspace, offers: Sequence[Offer], missing: dict[str, str], taken: Sequence[Offer]
) -> dict[str, Any]:
    return {
        "line": space.settings.name,
        "invented": space.settings.invented,
        "confidence": 0.9,
        "offers": [
            {
                "key": offer.key,
                "now": offer.now,
                "value": round(offer.value, offer.digits),
                "low": round(offer.low, offer.digits),
                "high": round(offer.high, offer.digits),
                "basis": offer.basis,
            }
            for offer in offers
        ],
        "missing": [{"key": key, "why": why} for key, why in missing.items()],
        "accepted": [offer.key for offer in taken],
    }
