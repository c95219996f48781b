"""Leave that ends, and who may go on which day."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from tendline.core.line import LineState, Parcel, Permission, SetStanding, SetState
from tendline.core.people import Helper, PaperHeld
from tendline.core.place import Fix, LonLat, Outline
from tendline.core.settings import Settings
from tendline.core.when import Span
from tendline.core.words import DeviceClass
from tendline.jobs.profiles import profiles_in_use
from tendline.jobs.weeks_going import turning_days, who_goes
from tendline.jobs.weeks_law import ending, leave_ends, until
from tendline.jobs.weeks_people import May, standing
from tendline.jobs.workspace import Workspace
from tendline.plan.weeks_nouns import WeekClock, WeekOuting

ZONE = ZoneInfo("America/Halifax")
NOW = datetime(2027, 1, 10, 20, tzinfo=UTC)
DAY = date(2027, 1, 10)
LICENCES = (
    PaperHeld("cable-restraint-course", carried=True),
    PaperHeld("trapping-licence", last=date(2027, 1, 12)),
)


def one_set(name: str = "S1") -> SetState:
    """Give a set on parcel A."""
    return SetState(
        name,
        "1",
        DeviceClass.LIVE_RESTRAINT,
        Fix(LonLat(-63.2, 41.6), 5.0),
        "A",
        "",
        None,
        None,
        None,
        "",
        NOW,
        "Ann",
        SetStanding.WORKING,
        (),
        NOW,
    )


def line(*permissions: Permission) -> LineState:
    """Give a line of one set on one parcel."""
    ring = (LonLat(-63.3, 41.5), LonLat(-63.1, 41.5), LonLat(-63.1, 41.7), LonLat(-63.3, 41.5))
    parcel = Parcel("A", "", Outline(((ring,),)), permissions=permissions)
    return LineState(NOW, {"A": parcel}, {}, {}, {}, {"S1": one_set()})


def space(*people: Helper, papers: tuple[PaperHeld, ...] = LICENCES) -> Workspace:
    """Give the invented law with a handler and others."""
    settings = Settings(
        "test",
        ZONE,
        handler="Ann",
        home=LonLat(-63.2, 41.6),
        profiles=("xx-demo",),
        people=people,
        papers=papers,
    )
    settings = replace(settings, person=replace(settings.person, landowner=False))
    return Workspace(Path("nowhere"), settings, NOW)


def test_the_longest_leave_counts_and_one_without_an_end_never_ends() -> None:
    first, second = date(2027, 1, 12), date(2027, 1, 20)
    assert leave_ends(line(), one_set()) is None
    assert leave_ends(line(Permission("A", None, first), Permission("A", None, second)), one_set()) == second
    assert leave_ends(line(Permission("A", None, first), Permission("A", None, None)), one_set()) is None


def test_a_clock_under_leave_that_ends_stops_at_the_last_look_it_allows() -> None:
    end = NOW + timedelta(hours=50)
    clock = ending(WeekClock("36", lambda look: look + timedelta(hours=36)), end)
    assert clock.next_due(NOW) == NOW + timedelta(hours=36)
    # From a look 20 h from now the rule would run to 56 h, past the leave: it is taken up at that look.
    assert clock.next_due(NOW + timedelta(hours=20)) is None
    whole = Span(NOW, NOW + timedelta(hours=60))
    assert until(lambda span: (span,), end)(whole) == (Span(NOW, end),)
    assert until(lambda span: (span,), NOW - timedelta(hours=1))(whole) == ()


def who(place: Workspace, name: str, day: date = DAY) -> May:
    """Say whether somebody may look, under the invented law."""
    state = line()
    profile = profiles_in_use(place, state)["xx-demo"]
    return standing(place, state, profile, ["S1"], who=name, day=day).may


def test_by_the_invented_law_another_needs_licence_and_written_leave() -> None:
    papers = (PaperHeld("cable-restraint-course", carried=True), PaperHeld("trapping-licence"))
    ben = Helper("Ben", leave=True, papers=papers, landowner=False)
    place = space(
        ben,
        replace(ben, name="Cal", leave=None),
        replace(ben, name="Dee", leave_until=date(2027, 1, 9)),
        replace(ben, name="Eve", papers=papers[:1], lacks=("trapping-licence",)),
        replace(ben, name="Fay", papers=papers[:1]),
    )
    found = {name: who(place, name) for name in ("Ann", "Ben", "Cal", "Dee", "Eve", "Fay", "Guy")}
    assert found == {
        "Ann": May.YES,
        "Ben": May.YES,
        "Cal": May.WITH_LEAVE,
        "Dee": May.WITH_LEAVE,
        "Eve": May.NO,
        "Fay": May.NOT_VERIFIED,
        "Guy": May.NOT_VERIFIED,
    }
    assert who(place, "Ann", date(2027, 1, 13)) is May.NO


def test_windows_after_a_licence_has_ended_are_not_used() -> None:
    place, state = space(), line()
    span = Span(NOW, NOW + timedelta(days=5))
    assert turning_days(place.settings, "Ann", span) == [DAY, date(2027, 1, 13)]
    windows = [
        WeekOuting("Ann", Span(NOW + timedelta(days=k), NOW + timedelta(days=k, hours=2))) for k in range(5)
    ]
    going = who_goes(place, state, profiles_in_use(place, state), windows, span)
    assert [going.may_go(one) for one in windows] == [True, True, True, False, False]
    assert any("Ann is not planned from 2027-01-13 on" in one for one in going.said)


def test_without_a_rule_profile_nobody_but_the_handler_goes() -> None:
    place = space()
    span = Span(NOW, NOW + timedelta(days=1))
    windows = [WeekOuting(name, span) for name in ("Ann", "Ben")]
    going = who_goes(place, line(), {}, windows, span)
    assert going.barred("") == frozenset({"Ben"})
    assert going.may_go(windows[0])


def nh() -> May:
    """Say whether a friend may look under New Hampshire's pack as held."""
    place = space(Helper("Ben", leave=True))
    place = Workspace(place.folder, replace(place.settings, profiles=("us-nh",)), NOW)
    state = line()
    profile = profiles_in_use(place, state)["us-nh"]
    found = standing(place, state, profile, ["S1"], who="Ben", day=DAY)
    assert any("emergency" in why for why in found.why)
    return found.may


def test_where_only_the_named_person_may_tend_an_emergency_is_for_the_officer_to_say() -> None:
    # RSA 210:13, as summed up in the pack: only the named person; in an emergency another with written leave.
    assert nh() is May.NOT_VERIFIED
