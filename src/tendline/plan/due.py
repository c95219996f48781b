"""Owns the due board: every set in the field with what runs out when, in law and by the person's own limit.

Does not own the law (`rules.ask`) or how the line came to stand as it does (`logbook.fold`).
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime, time, timedelta

from tendline.core.line import LineState, Look, SetStanding, SetState
from tendline.core.settings import Confirmation, Settings
from tendline.core.when import clock_text, local_day
from tendline.core.words import FoundAs
from tendline.rules.answer import DueAnswer, RemoteState, Seen, Verdict, Watched
from tendline.rules.ask import due
from tendline.rules.shape import Profile

PROFILE_ANSWER = "profile"
"""The answer of a parcel that names the rule profile for its sets, where a line crosses a border."""


@dataclass(frozen=True)
class DueRow:
    """One set on the board; instants are UTC.

    Parameters
    ----------
    set_name, parcel, landmark, working
        Which set, and whether it is open.
    answer
        What the law says.
    hours_left
        To `answer.due_at` [h]; negative when it is past, None when no limit can be told.
    share_left
        Of the interval from `answer.since` to `answer.due_at`, what is left [0, 1]; None as before.
    last_seen
        When somebody last saw it, whether or not that counts in law; None when no record says.
    waited_h
        Since `last_seen` [h].
    own_due, own_hours_left
        The person's own limit and what is left of it [h]; None when they set none or the set is closed.
    marks
        What has to be told with the set: not found since when, not reached, closed.
    longest_wait
        Nothing on the board has waited longer.
    """

    set_name: str
    parcel: str
    landmark: str
    working: bool
    answer: DueAnswer
    hours_left: float | None
    share_left: float | None
    last_seen: datetime | None
    waited_h: float | None
    own_due: datetime | None
    own_hours_left: float | None
    marks: tuple[str, ...] = ()
    longest_wait: bool = False

    @property
    def own_over(self) -> bool:
        """Whether the person's own limit is past."""
        return self.own_hours_left is not None and self.own_hours_left < 0


def due_board(
    state: LineState,
    *,
    profiles: Mapping[str, Profile],
    settings: Settings,
    now: datetime,
    agents: frozenset[str] = frozenset(),
    remote: Mapping[str, RemoteState] | None = None,
) -> tuple[DueRow, ...]:
    """Put up every set in the field, what runs out first on top.

    Parameters
    ----------
    state
        The line as it stands.
    profiles
        Rule profiles by id. A set goes by the one its parcel names under `PROFILE_ANSWER`, else by the first
        of `settings.profiles`.
    settings
        The person's zone, answers, confirmations and own limits.
    now
        The present.
    agents
        People with the handler's written leave to look.
    remote
        What a monitoring system says, by set.

    Returns
    -------
    tuple of DueRow
        Prohibited and overdue first, then those for which no time can be told, then by the last lawful
        second, then those without a clock.
    """
    rows: list[DueRow] = []
    for one in state.in_field:
        name = profile_named(one, state, settings=settings)
        profile = profiles.get(name)
        watched = watched_set(
            one, state, settings=settings, agents=agents, remote=(remote or {}).get(one.name)
        )
        if profile is None:
            answer = _without_profile(one.name, name)
        else:
            confirmation = settings.word_on(profile.id)
            answer = _doubted(due(profile, watched, now=now, confirmation=confirmation), confirmation)
        rows.append(_row(one, answer, settings=settings, now=now))
    longest = max((row.waited_h for row in rows if row.waited_h is not None and row.working), default=None)
    rows = [replace(row, longest_wait=row.working and row.waited_h == longest is not None) for row in rows]
    return tuple(sorted(rows, key=_urgency))


def profile_named(one: SetState, state: LineState, *, settings: Settings) -> str:
    """Give the id of the rule profile that a set goes by; empty when none is in use."""
    parcel = state.parcels.get(one.parcel)
    named = parcel.zones.get(PROFILE_ANSWER, "") if parcel is not None else ""
    return named or (settings.profiles[0] if settings.profiles else "")


def watched_set(
    one: SetState,
    state: LineState,
    *,
    settings: Settings,
    agents: frozenset[str] = frozenset(),
    remote: RemoteState | None = None,
) -> Watched:
    """Give a set as the law looks at it: looks that saw it, answers of its parcel over those of the line."""
    parcel = state.parcels.get(one.parcel)
    if remote is None and one.remote_monitored:
        remote = RemoteState()
    return Watched(
        name=one.name,
        device_class=one.device_class,
        place=one.fix.place,
        zone=settings.zone,
        set_at=one.made_at,
        looks=_looks_that_saw(one, settings),
        in_field=one.standing.in_field,
        working=one.standing is SetStanding.WORKING,
        answers={**settings.answers, **(parcel.zones if parcel is not None else {})},
        handler=settings.handler or one.made_by,
        agents=agents | {helper.name for helper in settings.people if helper.leave},
        remote=remote,
    )


def _by(look: Look, settings: Settings) -> str:
    """Name who looked; of one whose written leave had ended by then, that is said with it."""
    helper = settings.helper(look.by)
    if helper is None or helper.leave_until is None or not helper.leave:
        return look.by
    ended = local_day(look.at, settings.zone) > helper.leave_until
    return f"{look.by} (whose leave ended on {helper.leave_until})" if ended else look.by


def _looks_that_saw(one: SetState, settings: Settings) -> tuple[Seen, ...]:
    """Give every look that saw the set; being found again after it was lost is one too."""
    looks = tuple(Seen(k.at, _by(k, settings), k.from_distance) for k in one.looks if k.found_as.was_seen)
    known = [look.at for look in looks if not look.from_distance]
    latest = max([*known, *([one.made_at] if one.made_at is not None else [])], default=None)
    if one.last_seen is None or (latest is not None and one.last_seen <= latest):
        return looks
    return tuple(sorted((*looks, Seen(one.last_seen)), key=lambda look: look.at))


def _doubted(answer: DueAnswer, confirmation: Confirmation | None) -> DueAnswer:
    """Take back the word on an answer that rests on a value the person did not agree to."""
    doubt = confirmation.doubts.get(answer.rule) if confirmation is not None else None
    if doubt is None:
        return answer
    said = f"not verified: going through the profile you said of '{answer.rule}': {doubt}"
    return replace(answer, verified=False, confirm=(*answer.confirm, said))


def _without_profile(set_name: str, name: str) -> DueAnswer:
    if not name:
        said, do = "no rule profile is in use", "not verified: choose a rule profile in line.toml"
    else:
        said, do = f"the rule profile '{name}' is not at hand", f"not verified: bring the profile '{name}'"
    return DueAnswer(set_name, name, Verdict.NOT_VERIFIED, said=(said,), confirm=(do,))


def _row(one: SetState, answer: DueAnswer, *, settings: Settings, now: datetime) -> DueRow:
    own = _own_due(one, settings)
    share = None
    if answer.due_at is not None and answer.since is not None:
        whole = (answer.due_at - answer.since).total_seconds()
        share = min(1.0, max(0.0, (answer.due_at - now).total_seconds() / whole)) if whole > 0 else 0.0
    return DueRow(
        set_name=one.name,
        parcel=one.parcel,
        landmark=one.landmark,
        working=one.standing is SetStanding.WORKING,
        answer=answer,
        hours_left=_hours(now, answer.due_at),
        share_left=share,
        last_seen=one.last_seen,
        waited_h=_hours(one.last_seen, now),
        own_due=own,
        own_hours_left=_hours(now, own),
        marks=_marks(one, settings),
    )


def _own_due(one: SetState, settings: Settings) -> datetime | None:
    """Give the earlier of the person's own limits: so many hours, and an hour of the morning after."""
    limits = settings.personal
    if one.last_seen is None or one.standing is not SetStanding.WORKING:
        return None
    found: list[datetime] = []
    if limits.hours is not None:
        found.append(one.last_seen + timedelta(hours=limits.hours))
    if limits.before:
        next_day = local_day(one.last_seen, settings.zone) + timedelta(days=1)
        by = datetime.combine(next_day, time.fromisoformat(limits.before), tzinfo=settings.zone)
        found.append(by.astimezone(UTC))
    return min(found, default=None)


def _marks(one: SetState, settings: Settings) -> tuple[str, ...]:
    """Say what leaves the deadline running: a search in vain, a visit that did not get there."""
    found: list[str] = []
    if one.standing is SetStanding.UNSET:
        found.append("closed")
    if one.not_found_since is not None:
        found.append(
            f"not found since {clock_text(one.not_found_since, settings.zone)}: the deadline runs on"
        )
    failed = [look for look in one.looks if look.found_as is FoundAs.NOT_REACHED]
    if failed and (one.last_seen is None or failed[-1].at > one.last_seen):
        found.append(f"not reached {clock_text(failed[-1].at, settings.zone)}: the deadline runs on")
    return tuple(found)


def _hours(start: datetime | None, end: datetime | None) -> float | None:
    return None if start is None or end is None else (end - start).total_seconds() / 3600.0


_FAR = datetime.max.replace(tzinfo=UTC)
_NEAR = datetime.min.replace(tzinfo=UTC)


def _urgency(row: DueRow) -> tuple[int, datetime, datetime, str]:
    answer, seen = row.answer, row.last_seen or _NEAR
    if answer.verdict in (Verdict.NO_CLOCK, Verdict.NOT_APPLICABLE):
        return 3, _FAR, seen, row.set_name
    if answer.verdict in (Verdict.PROHIBITED, Verdict.OVERDUE) or (row.hours_left or 0.0) < 0:
        return 0, answer.due_at or _NEAR, seen, row.set_name
    if answer.due_at is None:
        return 1, _NEAR if answer.go_now else _FAR, seen, row.set_name
    return 2, answer.act_by or answer.due_at, seen, row.set_name
