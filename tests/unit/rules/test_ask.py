"""What the case files do not reach: confirmation and its end, who may look, late windows, the season."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from tendline.core.place import LonLat
from tendline.core.settings import Confirmation
from tendline.core.source import Status
from tendline.core.when import Span
from tendline.core.words import DeviceClass
from tendline.rules.answer import Verdict, Watched
from tendline.rules.ask import due, lawful_windows, who_may_check
from tendline.rules.case import season_of
from tendline.rules.load import load_profile
from tendline.rules.shape import ProfileState, WhoForm

DATA = Path(__file__).parents[2] / "data" / "rules"
ZONE = ZoneInfo("America/New_York")


def _at(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=ZONE).astimezone(UTC)


def _watched(
    device_class: DeviceClass = DeviceClass.LIVE_RESTRAINT, made: str = "2027-01-04 06:00"
) -> Watched:
    return Watched("N3", device_class, LonLat(-78.0, 41.5), ZONE, _at(made))


def _confirm(confirmed: date, until: date, profile: str = "us-pa") -> Confirmation:
    return Confirmation(profile, confirmed, until)


@pytest.mark.parametrize(
    ("day", "season"),
    [
        (date(2026, 7, 1), "2026-27"),
        (date(2027, 6, 30), "2026-27"),
        (date(2027, 7, 1), "2027-28"),
        (date(2099, 12, 1), "2099-00"),
    ],
)
def test_a_season_runs_from_july_to_june(day: date, season: str) -> None:
    assert season_of(day) == season


def test_a_confirmed_profile_is_verified() -> None:
    confirmed = _confirm(date(2026, 12, 1), date(2027, 6, 30))
    answer = due(load_profile("us-pa"), _watched(), now=_at("2027-01-04 12:00"), confirmation=confirmed)

    assert answer.verified
    assert answer.confirm == ()
    assert answer.citation is not None
    assert answer.citation.title.startswith("34 Pa.C.S.")
    assert answer.status is Status.SECONDARY


@pytest.mark.parametrize(
    ("confirmed", "why"),
    [
        (None, "not verified: confirm us-pa for 2026-27"),
        (_confirm(date(2026, 12, 1), date(2027, 6, 30), "us-sd"), "not verified: confirm us-pa for 2026-27"),
        (_confirm(date(2025, 12, 1), date(2026, 6, 30)), "held from 2025-12-01 to 2026-06-30"),
        (_confirm(date(2027, 1, 5), date(2027, 6, 30)), "held from 2027-01-05"),
    ],
)
def test_without_a_word_for_the_day_the_hour_is_given_and_not_verified(
    confirmed: Confirmation | None, why: str
) -> None:
    answer = due(load_profile("us-pa"), _watched(), now=_at("2027-01-04 12:00"), confirmation=confirmed)

    assert answer.due_at == _at("2027-01-05 18:00")
    assert answer.verdict is Verdict.DUE
    assert not answer.verified
    assert any(why in line for line in answer.confirm)


def test_a_profile_past_its_last_day_needs_to_be_gone_through_again() -> None:
    """us-pa was made for days to 2027-06-30."""
    profile, watched, now = load_profile("us-pa"), _watched(made="2027-12-01 06:00"), _at("2027-12-01 12:00")
    before = _confirm(date(2026, 12, 1), date(2028, 6, 30))
    after = _confirm(date(2027, 9, 1), date(2028, 6, 30))

    assert not due(profile, watched, now=now, confirmation=before).verified
    assert due(profile, watched, now=now, confirmation=after).verified


def test_a_withdrawn_profile_is_never_verified() -> None:
    profile = replace(load_profile("us-pa"), state=ProfileState.RETIRED)
    confirmed = _confirm(date(2026, 12, 1), date(2027, 6, 30))
    answer = due(profile, _watched(), now=_at("2027-01-04 12:00"), confirmation=confirmed)

    assert not answer.verified
    assert "withdrawn" in answer.confirm[0]


def test_lawful_hours_of_a_late_set_leave_the_deadline_out() -> None:
    profile, watched = load_profile(DATA / "curfew.toml"), _watched()
    now = _at("2027-01-05 20:00")  # due at 06:00
    span = Span(now, now + timedelta(hours=12))

    assert lawful_windows(profile, watched, span, now=now) == ()
    assert lawful_windows(profile, watched, span, now=now, late=True) == (
        Span(now, _at("2027-01-05 21:59:59")),
        Span(_at("2027-01-06 05:00"), span.end),
    )


@pytest.mark.parametrize(
    ("device_class", "forms", "others_may", "needs_leave", "said"),
    [
        (DeviceClass.LIVE_RESTRAINT, (WhoForm.NAMED_ONLY,), False, False, "in an emergency"),
        (DeviceClass.CAGE, (WhoForm.WRITTEN_AGENT,), True, True, "authorised in writing"),
        (DeviceClass.FOOTHOLD, (WhoForm.MAY_CAUSE,), True, False, "causes it to be visited"),
        (DeviceClass.BODY_GRIP, (WhoForm.USER_REMOVES,), None, False, "Only the user may remove"),
        (DeviceClass.SUBMERGED, (), None, False, "does not say who may look"),
    ],
)
def test_the_profile_says_who_may_look(
    device_class: DeviceClass,
    forms: tuple[WhoForm, ...],
    others_may: bool | None,
    needs_leave: bool,
    said: str,
) -> None:
    """After RSA 210:13, Minn. R. 6234.0900, 12 MRS 12255 and 3 CSR 10-8.510 (see the file)."""
    profile = load_profile(DATA / "who.toml")
    confirmed = _confirm(date(2026, 12, 1), date(2027, 6, 30), "zz-who")
    answer = who_may_check(
        profile, _watched(device_class), now=_at("2027-01-04 12:00"), confirmation=confirmed
    )

    assert (answer.forms, answer.others_may, answer.needs_leave) == (forms, others_may, needs_leave)
    assert any(said in line for line in answer.said)
    assert answer.verified == bool(forms)


def test_who_may_look_is_not_verified_while_the_profile_is_not() -> None:
    answer = who_may_check(load_profile(DATA / "who.toml"), _watched(), now=_at("2027-01-04 12:00"))

    assert not answer.verified
    assert answer.others_may is False
    assert answer.confirm == ("not verified: confirm zz-who for 2026-27",)
