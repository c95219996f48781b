"""Owns gathering what a reader of a round is told besides the plan: landmarks, looks, sun, rules, snow.

Does not own the plan, nor how any of it is worded (`report`).
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime

from tendline.almanac.sun import SunTimes, sun_times
from tendline.core.line import LineState, SetState
from tendline.core.place import LonLat
from tendline.core.when import clock_text, local_day
from tendline.core.words import Surface
from tendline.jobs.outing import Outing
from tendline.jobs.workspace import Workspace
from tendline.logbook.events import Event
from tendline.plan.due import DueRow
from tendline.report.facts import RoundFacts, RuleNote, SetFacts, is_dark
from tendline.rules.answer import Verdict
from tendline.rules.shape import Profile


def gather_facts(
    space: Workspace,
    line: LineState,
    outing: Outing,
    *,
    rows: Mapping[str, DueRow],
    profiles: Mapping[str, Profile],
    events: Sequence[Event],
    said: Sequence[str],
) -> RoundFacts:
    """Put together everything a round is printed with.

    Parameters
    ----------
    space, line, outing
        The opened line, how it stands, and the stretch of time.
    rows
        The due board at the start of the outing, by set.
    profiles
        Rule profiles by id.
    events
        The record, for the weather last seen and for what the card was made from.
    said
        How the travel times came about.
    """
    settings = space.settings
    return RoundFacts(
        line=settings.name,
        who=outing.who,
        zone=settings.zone,
        units=settings.units,
        sets={one.name: _set_facts(one, rows[one.name], line) for one in line.in_field},
        sun=sun_of(space, line, outing.span.start),
        rules=_rules(space, rows, profiles),
        time=settings.time,
        parking_notes={p.name: p.note for p in line.parkings.values() if p.note},
        snow=_snow_lies(events, outing),
        invented=settings.invented or any(profile.invented for profile in profiles.values()),
        made_from=made_from(space, events, said),
    )


def _set_facts(one: SetState, row: DueRow, line: LineState) -> SetFacts:
    answer = row.answer
    device = line.devices.get(one.tag or "")
    spoilt = device is not None and device.out
    return SetFacts(
        name=one.name,
        landmark=one.landmark,
        tag=one.tag,
        last_look=one.last_seen,
        clock_from=answer.since,
        rule=answer.words,
        verified=answer.verified,
        personal_due=row.own_due,
        overdue_since=answer.due_at if answer.verdict is Verdict.OVERDUE else None,
        bring=(f"another device (the cable of {one.tag} is out)",) if spoilt else (),
        note="; ".join(row.marks),
    )


def sun_of(space: Workspace, line: LineState, instant: datetime) -> SunTimes | None:
    """Give the sun of a day at the middle of the sets in the field; None when there are none."""
    places = [one.fix.place for one in line.in_field]
    if not places:
        return None
    middle = LonLat(sum(p.lon for p in places) / len(places), sum(p.lat for p in places) / len(places))
    zone = space.settings.zone
    return sun_times(middle, local_day(instant, zone), zone)


def any_in_dark(space: Workspace, line: LineState, instants: Iterable[datetime]) -> bool:
    """Say whether any of these instants lies outside civil twilight at the middle of the sets."""
    return any(
        is_dark(instant, sun) for instant in instants if (sun := sun_of(space, line, instant)) is not None
    )


def _rules(
    space: Workspace, rows: Mapping[str, DueRow], profiles: Mapping[str, Profile]
) -> tuple[RuleNote, ...]:
    notes: dict[tuple[str, str], RuleNote] = {}
    for row in rows.values():
        answer = row.answer
        if not answer.words:
            continue
        profile = profiles.get(answer.profile)
        confirmed = space.settings.word_on(answer.profile)
        notes[answer.profile, answer.words] = RuleNote(
            profile=f"{answer.profile} {profile.title}" if profile is not None else answer.profile,
            says=answer.words,
            citation=str(answer.citation) if answer.citation else "no citation",
            confirmed=confirmed.confirmed if confirmed else None,
            until=confirmed.until if confirmed else None,
        )
    return tuple(notes.values())


def _snow_lies(events: Sequence[Event], outing: Outing) -> bool:
    seen = [e for e in events if e.kind == "weather-seen" and e.happened_at <= outing.span.start]
    if not seen:
        return False
    body = max(seen, key=lambda e: e.happened_at).body
    snowy = (Surface.LOOSE_SNOW, Surface.PACKED_SNOW, Surface.CRUST)
    return bool(body.get("snow_m", 0) > 0 or body.get("new_snow_m", 0) > 0 or body.get("surface") in snowy)


def made_from(space: Workspace, events: Sequence[Event], said: Sequence[str]) -> str:
    """Say what an answer was made from: how many events, up to when, and how its figures came about."""
    zone = space.settings.zone
    last = max((e.recorded_at for e in events), default=None)
    record = f"logbook of {len(events)} events" + (f", last {clock_text(last, zone)}" if last else "")
    return "; ".join((record, *said))
