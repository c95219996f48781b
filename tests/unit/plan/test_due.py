"""The due board: nothing missing, what runs out first on top, the person's own limit beside the law's."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from tendline.core.line import LineState, Look, Parcel, SetStanding, SetState
from tendline.core.place import Fix, LonLat, Outline
from tendline.core.settings import Confirmation, PersonalLimits, Settings
from tendline.core.words import DeviceClass, FoundAs, Happened, LeftAs
from tendline.plan.due import DueRow, due_board
from tendline.rules.answer import RemoteState, Verdict
from tendline.rules.load import load_profile

DATA = Path(__file__).parents[2] / "data" / "rules"
ZONE = ZoneInfo("America/New_York")
CORNERS = (LonLat(-78.01, 41.49), LonLat(-77.99, 41.49), LonLat(-77.99, 41.51), LonLat(-78.01, 41.49))
PARCEL = Parcel("mill", "Mill farm", Outline(((CORNERS,),)))
NOW = datetime(2027, 1, 5, 12, tzinfo=ZONE).astimezone(UTC)
SETTINGS = Settings(
    name="Test line",
    zone=ZONE,
    handler="Lena Orsk",
    profiles=("zz-elapsed",),
    confirmations=(Confirmation("zz-elapsed", date(2026, 12, 1), date(2027, 6, 30)),),
    personal=PersonalLimits(hours=None),
)


def _at(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=ZONE).astimezone(UTC)


def _look(at: datetime, found_as: FoundAs = FoundAs.WORKING, *, from_distance: bool = False) -> Look:
    return Look(at, found_as, Happened.NOTHING, LeftAs.AS_FOUND, "Lena Orsk", from_distance, "event", False)


def _set(name: str, made: str | None, *looks: Look, standing: SetStanding = SetStanding.WORKING) -> SetState:
    made_at = None if made is None else _at(made)
    seen = [look.at for look in looks if look.found_as.was_seen and not look.from_distance]
    known = [*seen, *([made_at] if made_at else [])]
    lost = [k.at for k in looks if k.found_as is FoundAs.NOT_FOUND and k.at > max(known, default=k.at)]
    return SetState(
        name=name,
        tag=None,
        device_class=DeviceClass.LIVE_RESTRAINT,
        fix=Fix(LonLat(-78.0, 41.5)),
        parcel="mill",
        landmark="leaning beech",
        loop_m=None,
        bottom_m=None,
        surface=None,
        target="coyote",
        made_at=made_at,
        made_by="Lena Orsk",
        standing=standing,
        looks=looks,
        last_seen=max(known, default=None),
        not_found_since=min(lost, default=None),
    )


def _board(*sets: SetState, settings: Settings = SETTINGS, now: datetime = NOW, parcel: Parcel = PARCEL,
           remote: dict[str, RemoteState] | None = None) -> tuple[DueRow, ...]:  # fmt: skip
    state = LineState(now, {"mill": parcel}, {}, {}, {}, {one.name: one for one in sets})
    names = ("elapsed", "calendar-day", "curfew", "prohibited", "remote", "by-zone", "counting")
    profiles = {p.id: p for p in (load_profile(DATA / f"{name}.toml") for name in names)}
    return due_board(state, profiles=profiles, settings=settings, now=now, remote=remote)


def test_what_runs_out_first_is_on_top_and_nothing_is_missing() -> None:
    """24 h: A due at 16:00, B overdue since 06:00, C overdue since 03:00, D unknown, E pulled, F closed."""
    rows = _board(
        _set("A", "2027-01-04 16:00"),
        _set("B", "2027-01-04 06:00"),
        _set("C", "2027-01-04 03:00"),
        _set("D", None),
        _set("E", "2027-01-04 06:00", standing=SetStanding.PULLED),
        _set("F", "2027-01-04 14:00", standing=SetStanding.UNSET),
    )
    assert [row.set_name for row in rows] == ["C", "B", "D", "F", "A"]
    assert [row.answer.verdict for row in rows] == [
        Verdict.OVERDUE,
        Verdict.OVERDUE,
        Verdict.NOT_VERIFIED,
        Verdict.DUE,
        Verdict.DUE,
    ]
    assert [row.hours_left for row in rows] == [-9.0, -6.0, None, 2.0, 4.0]


def test_the_share_left_is_what_the_loop_clock_draws() -> None:
    """Seen at 18:00 the day before, 24 h: at noon 6 of 24 hours are left; past the limit, none."""
    rows = _board(_set("A", "2027-01-04 18:00"), _set("B", "2027-01-03 12:00"))
    assert [row.share_left for row in rows] == [0.0, 6 / 24]


def test_a_search_in_vain_and_a_visit_that_failed_leave_the_deadline_running() -> None:
    """Only being there and seeing the place counts; both are marked on the board."""
    rows = _board(
        _set("N1", "2027-01-04 14:00", _look(_at("2027-01-05 06:00"), FoundAs.NOT_FOUND)),
        _set("N2", "2027-01-04 15:00", _look(_at("2027-01-05 06:10"), FoundAs.NOT_REACHED)),
    )
    assert [row.answer.due_at for row in rows] == [_at("2027-01-05 14:00"), _at("2027-01-05 15:00")]
    assert rows[0].marks == ("not found since Tue 05 Jan 06:00: the deadline runs on",)
    assert rows[1].marks == ("not reached Tue 05 Jan 06:10: the deadline runs on",)


def test_a_visit_after_the_failed_one_takes_the_mark_away() -> None:
    failed, seen = _look(_at("2027-01-05 06:10"), FoundAs.NOT_REACHED), _look(_at("2027-01-05 10:00"))
    (row,) = _board(_set("N2", "2027-01-04 15:00", failed, seen))
    assert row.marks == ()
    assert row.answer.due_at == _at("2027-01-06 10:00")


def test_a_look_from_a_distance_counts_only_where_the_profile_says_so() -> None:
    """The law of these tests counts it from February on."""
    settings = replace(SETTINGS, profiles=("zz-counting",))
    january = _set("A", "2027-01-04 14:00", _look(_at("2027-01-05 06:00"), from_distance=True))
    february = _set("A", "2027-02-04 14:00", _look(_at("2027-02-05 06:00"), from_distance=True))
    (row,) = _board(january, settings=settings)
    assert (row.waited_h, row.answer.due_at) == (22.0, _at("2027-01-05 14:00"))
    (row,) = _board(february, settings=settings, now=_at("2027-02-05 12:00"))
    assert row.answer.due_at == _at("2027-02-06 06:00")


def test_a_set_that_was_lost_and_found_and_hung_again_runs_from_its_finding() -> None:
    """The finding is no check, but somebody was there: the record gives it as the last time it was seen."""
    found = replace(_set("A", "2027-01-01 06:00"), last_seen=_at("2027-01-05 09:00"))
    (row,) = _board(found)
    assert (row.answer.since, row.answer.due_at) == (_at("2027-01-05 09:00"), _at("2027-01-06 09:00"))


def test_the_own_limit_stands_beside_the_laws() -> None:
    """Seen on Monday at 14:00: by the law Tuesday 14:00, by 20 hours of one's own Tuesday 10:00."""
    settings = replace(SETTINGS, personal=PersonalLimits(hours=20.0))
    (row,) = _board(_set("A", "2027-01-04 14:00"), settings=settings)
    assert row.own_due == _at("2027-01-05 10:00")
    assert row.own_hours_left == -2.0
    assert row.own_over
    assert row.answer.verdict is Verdict.DUE


@pytest.mark.parametrize(
    ("seen", "expected"),
    [
        ("2027-01-04 14:00", "2027-01-05 10:30"),  # yesterday: by half past ten this morning
        ("2027-01-05 06:00", "2027-01-06 10:30"),  # this morning: tomorrow's
        ("2027-01-05 11:59", "2027-01-06 10:30"),  # late today: tomorrow's
        ("2027-01-01 06:00", "2027-01-02 10:30"),  # days ago: it passed the morning after
    ],
)
def test_the_own_hour_of_the_morning_is_that_of_the_day_after_the_last_look(seen: str, expected: str) -> None:
    settings = replace(SETTINGS, personal=PersonalLimits(hours=None, before="10:30"))
    (row,) = _board(_set("A", seen), settings=settings)
    assert row.own_due == _at(expected)


def test_the_earlier_of_ones_own_limits_counts_and_a_closed_set_has_none() -> None:
    settings = replace(SETTINGS, personal=PersonalLimits(hours=30.0, before="10:00"))
    working, closed = _set("A", "2027-01-04 14:00"), _set("B", "2027-01-04 14:00", standing=SetStanding.UNSET)
    rows = {row.set_name: row for row in _board(working, closed, settings=settings)}
    assert rows["A"].own_due == _at("2027-01-05 10:00")
    assert rows["B"].own_due is None
    assert rows["B"].marks == ("closed",)


def test_the_longest_wait_is_marked() -> None:
    rows = _board(_set("A", "2027-01-04 14:00"), _set("B", "2027-01-04 20:00"))
    assert {row.set_name: row.longest_wait for row in rows} == {"A": True, "B": False}


def test_a_closed_set_does_not_count_as_the_longest_wait() -> None:
    rows = _board(_set("A", "2027-01-05 06:00"), _set("B", "2027-01-01 06:00", standing=SetStanding.UNSET))
    assert {row.set_name: row.longest_wait for row in rows} == {"A": True, "B": False}


def test_the_parcel_names_the_profile_where_a_line_crosses_a_border() -> None:
    parcel = replace(PARCEL, zones={"profile": "zz-calendar-day"})
    (row,) = _board(_set("A", "2027-01-04 06:00"), parcel=parcel)
    assert (row.answer.profile, row.answer.due_at) == ("zz-calendar-day", _at("2027-01-05 23:59:59"))
    assert not row.answer.verified  # only zz-elapsed was confirmed


def test_the_parcels_answer_beats_the_lines() -> None:
    parcel = replace(PARCEL, zones={"profile": "zz-by-zone", "zone": "north"})
    settings = replace(SETTINGS, answers={"zone": "south"})
    (row,) = _board(_set("A", "2027-01-05 06:00"), parcel=parcel, settings=settings)
    assert row.answer.due_at == _at("2027-01-07 06:00")


@pytest.mark.parametrize(
    ("profiles", "said"),
    [((), "no rule profile is in use"), (("us-qq",), "the rule profile 'us-qq' is not at hand")],
)
def test_without_a_profile_nothing_is_verified_and_the_own_limit_still_runs(
    profiles: tuple[str, ...], said: str
) -> None:
    settings = replace(SETTINGS, profiles=profiles, personal=PersonalLimits(hours=24.0))
    (row,) = _board(_set("A", "2027-01-04 14:00"), settings=settings)
    assert row.answer.verdict is Verdict.NOT_VERIFIED
    assert row.answer.said == (said,)
    assert row.answer.confirm
    assert row.own_hours_left == 2.0


def test_rows_go_by_the_last_lawful_second_where_a_curfew_cuts_the_limit() -> None:
    """Due at 03:00 and at 01:30, both in the curfew: both have to be seen before 22:00."""
    settings = replace(SETTINGS, profiles=("zz-curfew",))
    rows = _board(_set("A", "2027-01-05 03:00"), _set("B", "2027-01-05 01:30"), settings=settings)
    assert [row.answer.act_by for row in rows] == [_at("2027-01-05 21:59:59")] * 2
    assert [row.set_name for row in rows] == ["B", "A"]  # the longer wait first where the moment is the same


def test_prohibited_devices_come_first_and_closed_ones_without_a_clock_last() -> None:
    settings = replace(SETTINGS, profiles=("zz-prohibited",))
    foothold = replace(_set("A", "2027-01-04 03:00"), device_class=DeviceClass.FOOTHOLD)
    rows = _board(
        foothold, _set("B", "2027-01-05 11:00"), settings=replace(settings, answers={"county": "other"})
    )
    assert [(row.set_name, row.answer.verdict) for row in rows] == [
        ("B", Verdict.PROHIBITED),
        ("A", Verdict.OVERDUE),
    ]

    february = _at("2027-02-05 12:00")
    closed = _set("C", "2027-02-01 06:00", standing=SetStanding.UNSET)
    rows = _board(
        closed,
        _set("D", "2027-02-05 06:00"),
        settings=replace(SETTINGS, profiles=("zz-counting",)),
        now=february,
    )
    assert [(row.set_name, row.answer.verdict) for row in rows] == [
        ("D", Verdict.DUE),
        ("C", Verdict.NO_CLOCK),
    ]


def test_a_monitored_set_goes_by_what_the_system_says() -> None:
    settings = replace(SETTINGS, profiles=("zz-remote",))
    monitored = replace(_set("A", "2027-01-04 06:00"), remote_monitored=True)
    heard = {"A": RemoteState(last_good_contact=_at("2027-01-05 11:00"))}

    assert _board(monitored, settings=settings, remote=heard)[0].answer.due_at == _at("2027-01-06 11:00")
    silent = _board(monitored, settings=settings)[0].answer
    assert silent.verdict is Verdict.OVERDUE
    assert any("no good contact is on record" in line for line in silent.said)


def test_the_board_is_the_same_whatever_order_the_sets_come_in() -> None:
    sets = [_set(f"S{n}", "2027-01-04 06:00") for n in range(5)]
    later = NOW + timedelta(0)
    assert _board(*sets, now=later) == _board(*reversed(sets), now=later)
