"""Room on the invented example, as a person would ask for it."""

import json
import shutil
from pathlib import Path

import jsonschema
import pytest

from tendline.jobs.workspace import open_workspace
from tests.journeys.run import Seen, done, run

AT = "2026-11-24T20:30"
SCHEMA = Path(__file__).parents[2] / "src/tendline/jobs/schemas/room.schema.json"
OUTING = ("--start", "05:00", "--back", "12:30", "--at", AT)


@pytest.fixture(scope="module")
def line(tmp_path_factory: pytest.TempPathFactory) -> str:
    """Give the example line, built once."""
    folder = str(tmp_path_factory.mktemp("room") / "line")
    done("demo", folder, "--at", AT)
    return folder


@pytest.fixture(scope="module")
def spots(line: str, tmp_path_factory: pytest.TempPathFactory) -> str:
    """Write spots beside sets of the example, and one on nobody's ground."""
    rows = ["kind,name,lon,lat,per_100_nights,target"]
    sets = open_workspace(line, at=AT).line().sets
    for k, name in enumerate(("M1", "M5", "R2", "R9", "O3", "N4")):
        place = sets[name].fix.place
        rows.append(f"spot,c{k},{place.lon + 0.0006:.6f},{place.lat:.6f},{1 + k % 3},coyote")
    rows.append("spot,nowhere,-63.9,41.9,5,coyote")
    path = tmp_path_factory.mktemp("spots") / "spots.csv"
    path.write_text("\n".join(rows) + "\n", encoding="utf-8")
    return str(path)


def valid(seen: Seen) -> Seen:
    """Hold the document against its shape."""
    jsonschema.Draft202012Validator(json.loads(SCHEMA.read_text(encoding="utf-8"))).validate(seen.data)
    return seen


def test_one_outing_has_room_until_the_latest_return_and_none_after_snow(line: str) -> None:
    seen = valid(done("room", "--line", line, *OUTING, "--json"))
    fair, snow = seen.data["days"]
    assert seen.code == 0
    assert fair["fits"]
    assert fair["spare_min"] > 0
    walked = [place for place in fair["places"] if not place["new_ground"]]
    assert len(walked) == 7
    for place in walked:
        # A set more costs its minutes and the window is what gives way: the division of the one by the other.
        assert place["more"] == int(fair["spare_min"] / fair["prices"]["each_min"] + 1e-6)
        assert place["more_proved_at_most"] == place["more"]
        assert place["gives_first"] == "window end"
    assert not snow["fits"]
    assert snow["proved"]
    assert snow["lacking_min"] > 60
    # Longer, there is more room.
    longer = valid(done("room", "--line", line, "--start", "05:00", "--back", "14:00", "--at", AT, "--json"))
    later = longer.data["days"][0]["places"]
    assert all(b["more"] > a["more"] for a, b in zip(fair["places"], later, strict=True))


def test_spots_are_chosen_inside_the_time_that_is_free(line: str, spots: str) -> None:
    seen = valid(done("room", "--line", line, *OUTING, "--spots", spots, "--json"))
    told = seen.data["spots"]
    assert told["proved_best"]
    assert told["chosen"]
    assert told["expected_catches"] == pytest.approx(told["at_most"])
    looks = [name for stop in told["order"] for name in stop["looks"]]
    assert {one["spot"] for one in told["chosen"]} <= set(looks)
    left = {one["spot"]: one["why"] for one in told["left_out"]}
    assert "no leave" in left["nowhere"]
    assert {*left, *(one["spot"] for one in told["chosen"])} == {*(f"c{k}" for k in range(6)), "nowhere"}
    # What stands does not fit after snow by itself (the text says NO ROOM), so that no spot can be added.
    assert told["after_snow"] == {"chosen": [], "expected_catches": 0.0, "proved_best": False}
    # Nothing was written down: the line has the sets it had.
    again = done("room", "--line", line, *OUTING, "--json")
    assert again.data["stands"] == seen.data["stands"]
    assert again.data["spots"] is None
    # Tended only, a spot costs less time, and no fewer can be chosen.
    tended = valid(done("room", "--line", line, *OUTING, "--spots", spots, "--making", "0", "--json"))
    assert tended.data["spots"]["expected_catches"] >= told["expected_catches"] - 1e-6


def test_the_text_gives_the_answer_first_and_says_what_is_not_known(line: str, spots: str) -> None:
    seen = done("room", "--line", line, *OUTING, "--spots", spots)
    text = " ".join(seen.out.split())
    assert "Fair day: room for" in text
    assert "after snow: NO ROOM" in text
    assert "Ten more on ground walked already" in text
    assert "SPOTS: set" in text
    assert "was not judged" in text
    assert "do not add up" in text


def test_spots_are_chosen_for_a_morning_after_snow_as_well(line: str, spots: str) -> None:
    long = ("--start", "05:00", "--back", "17:00", "--seconds", "20", "--at", AT, "--spots", spots)
    seen = valid(done("room", "--line", line, *long, "--json"))
    told, (_, snow) = seen.data["spots"], seen.data["days"]
    assert snow["fits"]
    assert told["after_snow"]["chosen"]
    # Whatever can be tended after snow can be on a fair day, when ways are shorter and nothing is snowed in.
    assert told["after_snow"]["expected_catches"] <= told["at_most"] + 1e-6
    assert "morning after snow holds" in " ".join(done("room", "--line", line, *long).out.split())


def test_the_days_ahead_are_counted_by_their_windows(line: str) -> None:
    words = ("--mornings", "05:00-12:00", "--days", "3", "--seconds", "12", "--at", AT)
    seen = valid(done("room", "--line", line, *words, "--json"))
    fair, snow = seen.data["days"]
    assert seen.data["windows"] == 3
    assert fair["fits"]
    assert any(place["more"] > 0 for place in fair["places"])
    assert not snow["fits"]
    text = done("room", "--line", line, *words).out
    assert "as if it had snowed before every outing" in text


def test_time_for_catches_and_dear_new_ground_leave_less_room(line: str) -> None:
    plain = done("room", "--line", line, "--start", "05:00", "--back", "13:30", "--at", AT, "--json").data
    words = (
        "--start",
        "05:00",
        "--back",
        "13:30",
        "--at",
        AT,
        "--catches",
        "2",
        "--new-drive",
        "40",
        "--json",
    )
    kept = valid(done("room", "--line", line, *words)).data
    for before, after in zip(plain["days"][0]["places"], kept["days"][0]["places"], strict=True):
        assert after["more"] < before["more"]
    assert kept["days"][0]["prices"]["drive_min"] == 40.0
    there = ("--start", "05:00", "--back", "14:00", "--at", AT, "--new", "-63.20,41.58", "--json")
    named = valid(done("room", "--line", line, *there)).data
    assert named["days"][0]["places"][-1]["place"] == "-63.20,41.58"


def test_fresh_sign_is_a_spot_and_brought_spots_are_kept_apart_from_sets(
    line: str, spots: str, tmp_path: Path
) -> None:
    line = shutil.copytree(line, tmp_path / "line").as_posix()
    place = open_workspace(line, at=AT).line().sets["N2"].fix.place
    where = f"{place.lon + 0.0008:.6f},{place.lat:.6f}"
    words = ("coyote", "--how-sure", "track-sure", "--at-place", where, "--line", line, "--at", AT)
    done("note", "sign-seen", *words)
    seen = valid(done("room", "--line", line, *OUTING, "--sign", "--json"))
    told = seen.data["spots"]
    assert [one["from"] for one in told["chosen"]] == ["coyote sign of Tue 24 Nov"]
    before = seen.data["stands"]
    done("bring", "--line", line, "--at", AT, spots)
    kept = valid(done("room", "--line", line, *OUTING, "--json"))
    assert kept.data["stands"] == before
    assert kept.data["spots"]["chosen"]


def test_a_line_without_sets_is_counted_as_empty_time(tmp_path: Path) -> None:
    folder = (tmp_path / "new").as_posix()
    words = ("--zone", "America/New_York", "--name", "New", "--handler", "Ann", "--home=-78.05,41.50")
    done("start", folder, *words)
    here = ("--line", folder, "--at", AT)
    outing = ("--start", "05:00", "--back", "08:00")
    bare = run("room", *here, *outing)
    assert bare.code == 2
    assert "JOB-401" in bare.err
    ring = "-78.02,41.49 -78.00,41.49 -78.00,41.51 -78.02,41.51 -78.02,41.49"
    done("note", "parcel", "west", "--outline", ring, *here)
    done("note", "parking", "gate", "--parcels", "west", "--at-place=-78.01,41.50", *here)
    table = tmp_path / "spots.csv"
    table.write_text("name,lon,lat,per_100_nights\nA,-78.012,41.501,3\n", encoding="utf-8")
    seen = valid(done("room", *here, *outing, "--spots", str(table), "--json"))
    fair = seen.data["days"][0]
    assert fair["spare_min"] == pytest.approx(180.0)
    west = fair["places"][0]
    assert (west["place"], west["stand"]) == ("west", 0)
    # Three hours less the drive there and back, a park of 3 and the walk of 16 min, in pieces of so many.
    assert 40 < west["more"] < (180 - 3 - 16) / fair["prices"]["each_min"]
    assert [one["spot"] for one in seen.data["spots"]["chosen"]] == ["A"]
    assert "not verified" in seen.data["spots"]["chosen"][0]["note"]


def test_what_cannot_be_meant_is_refused_by_name(line: str, tmp_path: Path) -> None:
    both = run("room", "--line", line, *OUTING, "--mornings", "05:00-08:00")
    assert both.code == 2
    assert "JOB-301" in both.err
    nobody = run("room", "--line", line, "--at", AT)
    assert nobody.code == 2
    assert "JOB-401" in nobody.err
    far = run("room", "--line", line, *OUTING, "--aside", "3 mi")
    assert far.code == 2
    assert "JOB-301" in far.err
    unit = run("room", "--line", line, *OUTING, "--aside", "20")
    assert unit.code == 2
    assert "CORE-101" in unit.err
    catches = run("room", "--line", line, "--start", "05:00", "--back", "06:30", "--at", AT, "--catches", "9")
    assert catches.code == 2
    assert "--catches" in catches.err
    none = tmp_path / "none.csv"
    none.write_text("kind,name,lon,lat\nlandmark,oak,-63.2,41.58\n", encoding="utf-8")
    bad = tmp_path / "bad.csv"
    bad.write_text("name,lon,lat,per_100_nights\nx,-63.2,41.58,400\ny,-63.2,141.58,1\n", encoding="utf-8")
    files = run("room", "--line", line, *OUTING, "--spots", str(none), "--spots", str(bad))
    assert files.code == 2
    assert "JOB-421" in files.err
    assert "GND-015" in files.err
    assert "GND-013" in files.err
    assert "row 2" in files.err


def test_an_outing_that_begins_in_the_dark_is_counted_in_the_dark(line: str, tmp_path: Path) -> None:
    by_day = done("room", "--line", line, *OUTING, "--json").data["days"][0]
    folder = tmp_path / "dark"
    shutil.copytree(line, folder)
    text = (folder / "line.toml").read_text(encoding="utf-8")
    (folder / "line.toml").write_text(text.replace("[walk]", "[walk]\ndark = 1.5", 1), encoding="utf-8")
    dark = done("room", "--line", str(folder), *OUTING, "--json").data["days"][0]
    assert sum(place["more"] or 0 for place in dark["places"]) < sum(p["more"] or 0 for p in by_day["places"])
