"""The file `line.toml`: the first one is read back as written, and a wrong one is told by key."""

from datetime import date
from pathlib import Path

import pytest

from tendline.core.errors import Refused
from tendline.core.place import LonLat
from tendline.core.units import Units
from tendline.jobs.settings_file import read_settings
from tendline.jobs.settings_first import first_settings


def first(tmp_path: Path, *, name: str = "A line", more: str = "") -> Path:
    path = tmp_path / "line.toml"
    text = first_settings(
        name=name,
        zone="America/New_York",
        units=Units.US,
        handler="Ann",
        home=LonLat(-78.0, 41.5),
        profiles=("us-pa",),
        invented=False,
    )
    path.write_text(text + more, encoding="utf-8")
    return path


@pytest.mark.parametrize("name", ["A line", 'with "quotes" and \\', "tab\there", "Über 狐"])
def test_the_first_file_is_read_back_as_written(tmp_path: Path, name: str) -> None:
    found = read_settings(first(tmp_path, name=name))
    assert found.name == name
    assert found.home == LonLat(-78.0, 41.5)
    assert found.profiles == ("us-pa",)
    assert found.time.park_s == 180
    assert found.time.catches_per_night == pytest.approx(0.01)
    assert found.personal.before == "10:00"
    assert not found.invented


def test_a_confirmation_and_answers_are_read(tmp_path: Path) -> None:
    more = '\n[[confirmed]]\nprofile = "us-pa"\non = 2026-11-01\nuntil = 2027-02-22\n'
    path = first(tmp_path, more=more)
    path.write_text(path.read_text().replace('# river-side = "east"', 'river-side = "east"'))
    found = read_settings(path)
    assert found.confirmations[0].until.isoformat() == "2027-02-22"
    assert found.answers == {"river-side": "east"}


def test_miles_an_hour_are_told_in_their_own_key(tmp_path: Path) -> None:
    path = first(tmp_path)
    path.write_text(path.read_text().replace("speed_kmh = 40 ", "speed_mph = 25 "))
    assert read_settings(path).drive.speed_kmh == pytest.approx(40.2336)  # 25 mi x 1.609344 km


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ('zone = "America/New_York"', 'zone = "America/Nowhere"', "CORE-202"),
        ("home = [-78.0, 41.5]", "home = [41.5, -178.0]", "CORE-301"),
        ("home = [-78.0, 41.5]", 'home = "here"', "JOB-203"),
        ('units = "us"', 'units = "imperial"', "JOB-203"),
        ("off_path = 0.6", "off_path = 0", "JOB-203"),
        ("snow = 1.0", "snow = 0.5", "JOB-203"),
        ("[walk]", "[walkk]", "JOB-202"),
        ("steepest_deg = 45", "steepest = 45", "JOB-202"),
        ('before = "10:00"', 'before = "10am"', "JOB-203"),
        ('name = "A line"', "", "JOB-204"),
        ("[answers]", "answers = 3\n[other]", "JOB-203"),
        ("[personal]", "[[confirmed]]\nprofile = 'us-pa'\n[personal]", "JOB-204"),
        ("[personal]", "[personal", "JOB-201"),
    ],
)
def test_a_wrong_setting_is_told_by_key(tmp_path: Path, old: str, new: str, code: str) -> None:
    path = first(tmp_path)
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")
    with pytest.raises(Refused) as caught:
        read_settings(path)
    assert code in {fault.code.id for fault in caught.value.faults}


def test_quotas_are_a_date_or_not_yet(tmp_path: Path) -> None:
    path = first(tmp_path)
    table = '[law]\nquotas = { otter = "not yet", fisher = 2027-01-04 }\n'
    path.write_text(path.read_text(encoding="utf-8").replace("[law]\n", table), encoding="utf-8")
    assert read_settings(path).law.quotas == {"otter": None, "fisher": date(2027, 1, 4)}
    path.write_text(path.read_text(encoding="utf-8").replace('"not yet"', '"soon"'), encoding="utf-8")
    with pytest.raises(Refused) as caught:
        read_settings(path)
    assert caught.value.faults[0].code.id == "JOB-203"


def test_a_file_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(Refused) as caught:
        read_settings(tmp_path / "line.toml")
    assert caught.value.faults[0].code.id == "JOB-201"


PAPERS = """
[[papers]]
kind = "cable-restraint-course"
number = "0042"
first = 2020-09-12
carried = true

[[papers]]
kind = "trapping-licence"
last = 2027-06-30
"""


def test_papers_are_read_and_what_is_not_said_stays_unsaid(tmp_path: Path) -> None:
    course, licence = read_settings(first(tmp_path, more=PAPERS)).papers
    assert (course.kind, course.number, course.carried, course.last) == (
        "cable-restraint-course",
        "0042",
        True,
        None,
    )
    assert (licence.carried, licence.first) == (None, None)
    assert licence.last is not None
    assert licence.last.isoformat() == "2027-06-30"


def test_who_the_person_is_and_how_the_law_is_asked(tmp_path: Path) -> None:
    path = first(tmp_path)
    text = path.read_text().replace("[person]", '[person]\nlandowner = false\nlacks = ["bobcat-permit"]')
    text = text.replace("sure = 0.99 ", 'sure = 0.95\ndrawn = ["dwelling", "road"]\nholidays = [2027-01-01] ')
    path.write_text(text)
    found = read_settings(path)
    assert (found.person.landowner, found.person.resident) == (False, None)
    assert found.person.lacks == ("bobcat-permit",)
    assert (found.law.sure, found.law.drawn) == (0.95, ("dwelling", "road"))
    assert found.law.holidays is not None
    assert [day.isoformat() for day in found.law.holidays] == ["2027-01-01"]


def test_without_a_word_the_law_is_asked_with_care(tmp_path: Path) -> None:
    found = read_settings(first(tmp_path))
    assert (found.law.sure, found.law.drawn, found.law.holidays) == (0.99, (), None)
    assert found.papers == ()


@pytest.mark.parametrize(
    ("more", "codes"),
    [
        ('\n[[papers]]\nname = "course"\n', ["JOB-204"]),
        ('\n[[papers]]\nkind = "course"\ncarried = "yes"\nlast = "2027"\n', ["JOB-203", "JOB-203"]),
        ('\n[[papers]]\nkind = "course"\nfirst = 2027-02-01\nlast = 2027-01-01\n', ["JOB-203"]),
        ('\n[[papers]]\nkind = "course"\ncaried = true\n', ["JOB-202"]),
    ],
)
def test_wrong_papers_are_told(tmp_path: Path, more: str, codes: list[str]) -> None:
    with pytest.raises(Refused) as caught:
        read_settings(first(tmp_path, more=more))
    assert [fault.code.id for fault in caught.value.faults] == codes


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("sure = 0.99", "sure = 0.5"),
        ("sure = 0.99", 'drawn = ["houses"]'),
        ("sure = 0.99", 'holidays = ["2027-01-01"]'),
        ("[person]", '[person]\nlandowner = "yes"'),
        ("# [[papers]]", "[papers]"),
    ],
)
def test_a_wrong_word_on_law_or_person_is_told(tmp_path: Path, old: str, new: str) -> None:
    path = first(tmp_path)
    path.write_text(path.read_text().replace(old, new))
    with pytest.raises(Refused) as caught:
        read_settings(path)
    assert [fault.code.id for fault in caught.value.faults] == ["JOB-203"]


def test_other_people_and_rounds_of_ones_own_are_read(tmp_path: Path) -> None:
    more = (
        '\n[[people]]\nname = "Ben"\nphone = "555-0100"\nleave = true\nleave_until = 2027-01-31\n'
        'papers = [{ kind = "trapping-licence", last = 2027-06-30 }]\n'
    )
    path = first(tmp_path, more=more)
    text = path.read_text().replace('# keep = ["sat=N1,N2,N3"]', 'keep = ["sat=N1,N2,N3"]')
    path.write_text(text.replace("# storm_mornings = 0.1", "storm_mornings = 0.1"))
    found = read_settings(path)
    ben = found.helper("BEN")
    assert ben is not None
    assert ben.papers[0].last == date(2027, 6, 30)
    assert ben.may_act(date(2027, 1, 31)) is True
    assert ben.may_act(date(2027, 2, 1)) is False
    assert found.helper("Cal") is None
    assert found.weeks.keep == ("sat=N1,N2,N3",)
    assert found.weeks.storm_mornings == pytest.approx(0.1)


@pytest.mark.parametrize(
    ("more", "code"),
    [
        ('\n[[people]]\nphone = "1"\n', "JOB-204"),
        ('\n[[people]]\nname = "Ben"\npapers = [{ number = "1" }]\n', "JOB-204"),
        ('\n[[people]]\nname = "Ben"\npapers = "none"\n', "JOB-203"),
        ('\n[[people]]\nname = "Ben"\nlicense = true\n', "JOB-202"),
    ],
)
def test_a_wrong_person_is_told_by_key(tmp_path: Path, more: str, code: str) -> None:
    with pytest.raises(Refused) as told:
        read_settings(first(tmp_path, more=more))
    assert code in {fault.code.id for fault in told.value.faults}
