"""From files and notes to what the law says of them: brought, noted, folded, measured, judged."""

import json
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from tendline.core.settings import Confirmation
from tendline.jobs.lawful_facts import LawCase, lawful_cases, read_features
from tendline.jobs.workspace import open_workspace
from tendline.rules.facts import Subject
from tendline.rules.finding import Finding, Holds
from tendline.rules.judge import judge
from tendline.rules.load import load_profile
from tests.journeys.run import done, run

AT = "2027-01-12T06:00-05:00"
NOW = datetime(2027, 1, 12, 11, 0, tzinfo=UTC)

HEAD = """
format = 1
[profile]
id = "zz-measured"
title = "Measured things (invented for the tests)"
about = "Invented for the tests."
country = "zz"
region = "measured"
state = "draft"
reviewed = 2026-11-25
good_until = 2099-12-31
invented = true
[legal_time]
zone = "place"
[cite.act]
title = "Test Act (invented)"
section = "1"
status = "invented"
"""
RULES = {
    "device.loop": 'measure = "loop-open"\nacross = "circumference"\nat_most = "38 in"',
    "device.swivels": 'part = "swivel"\ncount_at_least = 2',
    "device.breakaway": 'measure = "breakaway"\nat_most = "285 lb"',
    "height.bottom": 'height = "bottom"\nabove = "first-hard-surface"\nat_least = "6 in"\nat_most = "12 in"',
    "place.dwelling": 'distance = ["dwelling"]\nat_least = "150 ft"',
    "place.den": 'distance = ["den"]\nat_least = "5 ft"',
    "place.circle": "clear_circle = true",
    "paper.leave": 'permission = "written"\nnames_method = "snare"',
}
KINDS = {"device": 25, "height": 28, "place": 41, "paper": 54}


def profile_text() -> str:
    parts = [HEAD]
    for name, need in RULES.items():
        table = name.split(".")[0]
        classes = "" if table == "paper" else 'classes = ["live-restraint"]\n'
        parts.append(
            f'[{name}]\nmeaning = "Invented."\nkinds = [{KINDS[table]}]\n{classes}'
            f'[[{name}.since]]\nday = 2020-01-01\n{need}\ncite = ["act"]\n'
        )
    return "\n".join(parts)


def feature(geometry: dict[str, Any], **properties: Any) -> dict[str, Any]:
    return {"type": "Feature", "geometry": geometry, "properties": properties}


def point(lon: float, lat: float) -> dict[str, Any]:
    return {"type": "Point", "coordinates": [lon, lat]}


@pytest.fixture
def line(tmp_path: Path) -> str:
    """A line of two sets with all that the profile asks of the first, and little of the second."""
    folder = str(tmp_path / "line")
    done("start", folder, "--zone", "America/New_York", "--handler", "Ann", "--home=-78,41.5")
    ring = [[-78.02, 41.49], [-77.98, 41.49], [-77.98, 41.51], [-78.02, 41.51], [-78.02, 41.49]]
    mill = feature({"type": "Polygon", "coordinates": [ring]}, kind="parcel", name="mill", owner="Jo Mill")
    house = feature(
        point(-77.9985, 41.5), kind="feature", feature="dwelling", name="Mill house", accuracy_m=3
    )
    ground = tmp_path / "ground.geojson"
    ground.write_text(json.dumps({"type": "FeatureCollection", "features": [mill, house]}), encoding="utf-8")
    devices = tmp_path / "devices.csv"
    devices.write_text(
        "kind,tag,loop_in,cable_length_in,construction\ndevice,101,12,60,7x7\n", encoding="utf-8"
    )
    sets = tmp_path / "sets.csv"
    sets.write_text(
        "kind,name,lon,lat,set_at,tag,bottom_in,surface,accuracy_m\n"
        "set,N1,-78.0,41.5,2027-01-11 06:00,101,10,ground,3\n"
        "set,N2,-77.9989,41.5,2027-01-11 06:00,102,10,,3\n",
        encoding="utf-8",
    )
    done("bring", str(ground), str(devices), str(sets), "--line", folder, "--at", AT)
    settings = Path(folder) / "line.toml"
    settings.write_text(
        settings.read_text(encoding="utf-8").replace("sure = 0.99 ", 'sure = 0.99\ndrawn = ["dwelling"] '),
        encoding="utf-8",
    )
    return folder


def cases(line: str) -> tuple[LawCase, ...]:
    space = open_workspace(line, at=AT)
    return lawful_cases(space.line(), read_features(space), settings=space.settings)


def found(line: str, tmp_path: Path, subject: Subject, name: str) -> dict[str, Finding]:
    path = tmp_path / "zz-measured.toml"
    path.write_text(profile_text(), encoding="utf-8")
    profile = load_profile(path)
    told = Confirmation("zz-measured", NOW.date(), NOW.date())
    (case,) = [c for c in cases(line) if c.subject is subject and c.name == name]
    return {f.rule: f for f in judge(profile, case.facts, now=NOW, confirmation=told)}


def test_what_was_measured_is_judged_and_what_was_not_is_not_verified(line: str, tmp_path: Path) -> None:
    """A 12 in loop is 37.70 in round, under 38. The house is 125 m off, its dot 15 m less: over 150 ft."""
    assert run("audit", "--line", line, "--at", AT).code == 0
    device = found(line, tmp_path, Subject.DEVICE, "101")
    assert device["loop"].holds is Holds.PASS
    assert device["swivels"].holds is Holds.NOT_VERIFIED
    one = found(line, tmp_path, Subject.SET, "N1")
    assert one["bottom"].holds is Holds.PASS
    assert one["dwelling"].holds is Holds.PASS
    assert one["den"].holds is Holds.NOT_VERIFIED
    assert one["circle"].holds is Holds.NOT_VERIFIED
    two = found(line, tmp_path, Subject.SET, "N2")
    assert two["bottom"].holds is Holds.NOT_VERIFIED  # nobody said what its height was measured from
    assert two["dwelling"].holds is Holds.FAIL  # 33 m, 46 wanted


def test_notes_in_the_person_s_own_units_settle_the_rest(line: str, tmp_path: Path) -> None:
    """285 lb is just right. Reach 60 in and 0 of extension on the level; the bush at 9 ft is out of it."""
    tag = next(e["id"] for e in listed(line) if e["kind"] == "device-built" and e["body"]["tag"] == "101")
    done(
        *("note", "correction", tag, "--set", "breakaway=285 lb", "--set", "swivels=2"),
        *("--set", "swivel_at=anchor,halfway", "--why", "looked it over", "--line", line, "--at", AT),
    )
    words = ("--extension", "0in", "--slope", "0", "--obstacle", "9ft", "--obstacle-kind", "thorn bush")
    done(
        "note",
        "adjusted",
        "N1",
        *words,
        "--taped",
        "den=6ft",
        "--looked-for",
        "den",
        "--line",
        line,
        "--at",
        AT,
    )
    leave = ("--given-by", "Jo Mill", "--written", "yes", "--methods", "snare", "--first", "2026-10-01")
    done("note", "permission", "mill", *leave, "--line", line, "--at", AT)
    device = found(line, tmp_path, Subject.DEVICE, "101")
    assert (device["swivels"].holds, device["breakaway"].holds) == (Holds.PASS, Holds.PASS)
    one = found(line, tmp_path, Subject.SET, "N1")
    assert (one["den"].holds, one["circle"].holds) == (Holds.PASS, Holds.PASS)
    assert found(line, tmp_path, Subject.PARCEL, "mill")["leave"].holds is Holds.PASS


def test_new_snow_is_weighed_against_what_the_height_was_measured_from(line: str, tmp_path: Path) -> None:
    """10 in over bare ground; a crust at 5 in leaves 5, under the 6 that the rule wants."""
    done("note", "weather-seen", "--snow", "5in", "--surface", "crust", "--line", line, "--at", AT)
    assert found(line, tmp_path, Subject.SET, "N1")["bottom"].holds is Holds.FAIL


def listed(line: str) -> list[dict[str, Any]]:
    events: list[dict[str, Any]] = done("note", "list", "--line", line, "--at", AT, "--json").data["events"]
    return events


def test_a_feature_that_is_wrong_is_told_with_its_row(line: str, tmp_path: Path) -> None:
    bad = tmp_path / "bad.csv"
    bad.write_text("kind,feature,lon,lat\nfeature,howse,-78,41.5\nfeature,,-78,41.5\n", encoding="utf-8")
    seen = run("bring", str(bad), "--line", line, "--at", AT)
    assert seen.code == 2
    assert "GND-018" in seen.err
    assert "GND-022" in seen.err
    assert "row 3" in seen.err
