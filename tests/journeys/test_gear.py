"""Gear by hand: a loop, a build and its laws, a strength chain, parts, a cut list; and getting it wrong."""

import json
import re
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree as ET

import jsonschema
import pytest

from tests.journeys.run import Seen, done, run

SCHEMAS = Path(__file__).parents[2] / "src/tendline/jobs/schemas"
AT = "2027-01-12T06:00-05:00"
INCH = 0.0254

# Built as the Pennsylvania steps were seen: under 84 in, 38 in and 8 in round; figures of parts invented.
BUILD = """
name = "fox and coyote"
[cable]
make = "7x7"
material = "galvanised"
diameter = "3/32 in"
length = "{length}"
tip = "1/2 in"
eye = "3 in"
cost_per_ft = 0.12
[loop]
largest_around = "{largest}"
smallest_around = "8 in"
[lock]
length = "3/4 in"
relaxing = true
moving_parts = false
mass = "10 g"
[breakaway]
label = "{breakaway}"
at = "lock"
[swivel]
count = 1
at = ["anchor"]
free = true
holds = "700 lb"
[end]
kind = "swaged-sleeve"
[stop]
mass = "2 g"
[anchor]
make = "rod"
soil = "hard"
long = "30 in"
wide = "1/2 in"
extension = "0 in"
"""


@pytest.fixture
def line(tmp_path: Path) -> str:
    """A new line under the shipped Pennsylvania profile, with three sets and one device in stock."""
    folder = str(tmp_path / "line")
    zone = ("--zone", "America/New_York", "--handler", "Ann", "--home=-78,41.5")
    done("start", folder, *zone, "--profile", "us-pa")
    at = ("--line", folder, "--at", "2027-01-02T05:00-05:00")
    for tag in ("101", "102", "103", "104"):
        done("note", "device-built", tag, *at)
    loop = ("--loop", "10in", "--bottom", "9in", "--surface", "ground")
    for name, tag in (("N1", "101"), ("N2", "102"), ("N3", "103")):
        done("note", "set-made", name, "--tag", tag, "--at-place=-78.01,41.51", *loop, *at)
    return folder


def build(tmp_path: Path, **changed: str) -> str:
    values = {"length": "84 in", "largest": "38 in", "breakaway": "285 lb", **changed}
    path = tmp_path / "build.toml"
    path.write_text(BUILD.format(**values), encoding="utf-8")
    return str(path)


def valid(seen: Seen, name: str) -> dict:
    schema = json.loads((SCHEMAS / f"gear-{name}.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(schema).validate(seen.data)
    return seen.data


def held(line: str, name: str, day: int) -> None:
    at = ("--line", line, "--at", f"2027-01-{day:02d}T06:00-05:00")
    four = ("--found-as", "holding", "--what-happened", "caught-kept", "--done", "remade")
    done("note", "check", name, *four, "--left-as", "working", *at)
    done("note", "catch", name, "--species", "coyote", "--standing", "target", "--fate", "kept", *at)


def test_a_coyote_loop_on_bare_ground_agrees_with_custom_and_with_the_law(line: str) -> None:
    data = valid(done("gear", "loop", "coyote", "--line", line, "--at", AT, "--json"), "loop")
    assert data["agree"]
    assert data["verified"] is False  # nobody has confirmed the profile
    # 58 Pa. Code 141.66: 6 to 12 in; the extension table and custom: 10 to 12 in.
    assert data["bottom"]["low_m"] == pytest.approx(10 * INCH)
    assert data["bottom"]["high_m"] == pytest.approx(12 * INCH)
    assert data["across"] == {"low_m": pytest.approx(9 * INCH), "high_m": pytest.approx(12 * INCH)}
    assert {s["source"] for s in data["sources"]} >= {"common practice, no source"}
    seen = done("gear", "loop", "coyote", "--line", line, "--at", AT)
    assert "10 to 12 in above the first hard surface" in seen.out
    assert "deer" in seen.out
    assert "not confirmed" in seen.out
    assert max(map(len, seen.out.splitlines())) <= 130


def test_a_top_limit_of_michigan_lowers_the_loop(line: str) -> None:
    words = ("gear", "loop", "coyote", "--line", line, "--profile", "us-mi", "--at", AT, "--json")
    data = valid(done(*words), "loop")
    # The top of a 12 in loop at its longest: 24 - 13.903 leaves 10.097 in for the bottom.
    assert data["law_bottom"]["high_m"] / INCH == pytest.approx(10.097, abs=1e-3)
    assert data["stop_least_m"] == pytest.approx(4.25 * INCH)
    snow = valid(done(*words, "--new-snow", "6in"), "loop")
    assert snow["bottom_by_law"][0]["above"] == "footprint"


def test_the_picture_is_to_scale(line: str, tmp_path: Path) -> None:
    words = ("--base-snow", "8in", "--new-snow", "4in", "--draw", "--line", line, "--at", AT, "--json")
    data = valid(run("gear", "loop", "red fox", *words), "loop")
    root = ET.fromstring(Path(data["drawing"]).read_text(encoding="utf-8"))
    space = "{http://www.w3.org/2000/svg}"
    layers = [float(r.get("height", "0")) for r in root.iter(f"{space}rect")][:2]
    assert layers[0] == pytest.approx(2 * layers[1], abs=0.2)  # 8 in of old snow, 4 in of new
    ring = next(root.iter(f"{space}ellipse"))
    wide, tall = float(ring.get("rx", "0")), float(ring.get("ry", "0"))
    assert tall / wide == pytest.approx(1.4, abs=0.01)
    # The largest loop in pixels over its metres is the scale of the snow as well.
    oval = data["ovals"][1]
    assert 2 * tall / oval["height_m"] == pytest.approx(layers[0] / (8 * INCH), rel=0.01)


def test_three_of_ones_own_add_a_range(line: str) -> None:
    for day, name in ((4, "N1"), (5, "N2"), (6, "N3")):
        held(line, name, day)
    data = valid(done("gear", "loop", "coyote", "--line", line, "--at", AT, "--json"), "loop")
    own = [s for s in data["sources"] if s["source"].startswith("your own record: 3 held")]
    assert own[0]["across"]["low_m"] == pytest.approx(10 * INCH)
    assert own[0]["bottom"]["low_m"] == pytest.approx(9 * INCH)


def test_a_log_is_counted_in(line: str) -> None:
    words = ("gear", "loop", "coyote", "--where", "log-crossing", "--line", line, "--at", AT)
    data = valid(done(*words, "--log", "20in", "--json"), "loop")
    assert data["snow"]["above"] == "ground"
    assert data["suits_bottom"]["low_m"] == pytest.approx(30 * INCH)
    assert data["bottom_above_walked_on"]["low_m"] == pytest.approx(10 * INCH)
    assert "#: the log" in done(*words, "--log", "20in").out
    # A deer stands beside the log: its chest is 20 to 24 in over the ground (Kelsall 1969).
    assert data["deer_chest"]["low_m"] == pytest.approx(20 * INCH)
    assert data["deer_chest"]["high_m"] == pytest.approx(24 * INCH)
    bare = done(*words)
    assert "above the top of the log" in bare.out
    assert "above the ground" not in bare.out
    ET.fromstring(Path(done(*words, "--log", "20in", "--draw", "--json").data["drawing"]).read_text())
    seen = run("gear", "loop", "coyote", "--log", "20in", "--line", line)
    assert (seen.code, "GEAR-104" in seen.err) == (2, True)
    assert "GEAR-103" in run(*words, "--log=-2in").err


def test_what_one_measured_stands_beside_the_tables(line: str) -> None:
    at = ("--line", line, "--at", "2027-01-04T06:00-05:00")
    told = ("--species", "coyote", "--standing", "target", "--fate", "kept")
    done("note", "catch", "N1", *told, "--neck", "12.5in", "--chest", "13in", *at)
    done("note", "catch", "N2", *told, "--neck", "14in", *at)
    done("note", "adjusted", "N3", "--place-kind", "under-fence", *at)
    words = ("gear", "loop", "coyote", "--profile", "us-mi", "--line", line, "--at", AT)
    own = valid(done(*words, "--json"), "loop")["own"]
    assert (own["necks"], own["chests"]) == (2, 1)
    assert own["neck"]["low_m"] == pytest.approx(12.5 * INCH)
    assert own["neck"]["high_m"] == pytest.approx(14 * INCH)
    # Michigan: 4 1/4 in across is 13.35 in round, wider than the smaller of the two necks.
    assert "smallest neck" in own["stop"]
    text = done(*words).out
    assert "YOUR OWN" in text
    assert "12.5 to 14 in round the neck" in text
    assert "the chest of those you measured" in text


def test_loops_that_held_count_for_their_own_kind_of_place(line: str) -> None:
    at = ("--line", line, "--at", "2027-01-03T06:00-05:00")
    for name in ("N1", "N2", "N3"):
        low = ("--bottom", "2in", "--loop", "8in", "--surface", "ground")
        done("note", "adjusted", name, "--place-kind", "under-fence", *low, *at)
    for day, name in ((4, "N1"), (5, "N2"), (6, "N3")):
        held(line, name, day)
    words = ("gear", "loop", "coyote", "--line", line, "--at", AT, "--json")
    assert not [s for s in done(*words).data["sources"] if s["source"].startswith("your own")]
    fence = valid(done(*words, "--where", "under-fence"), "loop")
    (own,) = [s for s in fence["sources"] if s["source"].startswith("your own record: 3 held")]
    assert own["bottom"]["low_m"] == pytest.approx(2 * INCH)


def test_a_height_over_loose_snow_is_no_height_an_animal_meets(line: str) -> None:
    at = ("--line", line, "--at", "2027-01-03T06:00-05:00")
    for name in ("N1", "N2", "N3"):
        done("note", "adjusted", name, "--bottom", "4in", "--surface", "loose-snow", "--snow", "8in", *at)
    for day, name in ((4, "N1"), (5, "N2"), (6, "N3")):
        held(line, name, day)
    sources = done("gear", "loop", "coyote", "--line", line, "--at", AT, "--json").data["sources"]
    assert not [s for s in sources if s["source"].startswith("your own")]


def test_a_build_says_where_its_stops_sit_and_which_laws_it_breaks(line: str, tmp_path: Path) -> None:
    seen = run("gear", "build", build(tmp_path), "--line", line, "--at", AT, "--json")
    data = valid(seen, "build")
    # tip 0.5 + 38 - lock 0.75, tip 0.5 + 8 - lock 0.75; 84 - eye 3 - 7.75
    assert data["largest"]["stop_m"] / INCH == pytest.approx(37.75)
    assert data["smallest"]["stop_m"] / INCH == pytest.approx(7.75)
    assert data["to_lock_m"] / INCH == pytest.approx(73.25)
    laws = {law["profile"]: law for law in data["laws"]}
    # A stop of 8 in round is 2.55 in across: too small for Michigan's 4 1/4 in across.
    broken = {finding["rule"] for finding in laws["us-mi"]["wrong"]}
    assert "stop" in broken
    assert "stop" not in {f["rule"] for f in laws["us-pa"]["wrong"]}
    assert laws["us-pa"]["in_use"]
    assert laws["us-ny"]["standing"] == "not lawful"
    assert not any(law["verified"] for law in laws.values())


def test_devices_carry_their_build_and_the_law_looks_at_it(line: str, tmp_path: Path) -> None:
    words = ("--tag", "301", "--tag", "302", "--line", line, "--at", AT)
    valid(run("gear", "build", build(tmp_path), *words, "--json"), "build")
    # The line's own law on tag 301 now says what it says of the build: 38 in round is inside the limit.
    found = done("lawful", "--line", line, "--at", AT, "--json", "--all").data["findings"]
    mine = {f["rule"]: f["holds"] for f in found if f["name"] == "301"}
    assert mine["loop-open"] == "pass"
    assert mine["cable-diameter"] == "pass"
    again = run("gear", "build", build(tmp_path), *words)
    assert again.code == 2
    assert "301" in again.err
    assert "302" in again.err


def test_a_michigan_loop_is_unlawful_in_pennsylvania(line: str, tmp_path: Path) -> None:
    # 15 in across is 47.1 in round, over 38.
    seen = run("gear", "build", build(tmp_path, largest="47.1 in"), "--line", line, "--at", AT)
    assert seen.code == 1
    assert re.search(r"us-pa \(in use\): not lawful\n.*\n?.*\[loop-open\]", seen.out, re.DOTALL)


def test_a_chain_names_its_weakest_link(line: str, tmp_path: Path) -> None:
    seen = run("gear", "chain", build(tmp_path), "--line", line, "--json")
    chain = valid(seen, "chain")["chain"]
    cable = chain["links"][0]
    assert cable["ratio"] == pytest.approx(828 / 285)  # 920 lb by 0.90 over 285
    # Half an inch by 30 in in hard clay: 0.5 x 4000 lb/ft2 x pi x 0.5 x 30 / 144 = 654.5 lb, under 700.
    assert chain["weakest"].startswith("anchor")
    assert seen.code == 0
    text = build(tmp_path)
    Path(text).write_text(Path(text).read_text().replace('"hard"', '"soft"'), encoding="utf-8")
    soft = run("gear", "chain", text, "--line", line)
    assert soft.code == 1
    assert "comes out before the breakaway opens" in " ".join(soft.out.split())


def test_parts_for_the_season_and_the_142_pieces(line: str, tmp_path: Path) -> None:
    held(line, "N1", 4)
    words = ("--devices", "40", "--have", "cable=20", "--roll", "1000ft", "--cut", "142")
    seen = run("gear", "parts", build(tmp_path), *words, "--line", line, "--at", AT, "--json")
    data = valid(seen, "parts")
    assert seen.code == 1  # cable must be ordered
    assert data["ledger"] == {"in_stock": 1, "in_field": 2, "out_until_rebuilt": ["101"], "other_builds": 0}
    assert data["cut_list"]["proved"]
    (cut,) = data["cut_list"]["cuts"]
    assert cut["pieces"] == [{"piece": "cable", "count": 142, "length_m": pytest.approx(84 * INCH)}]
    assert cut["left_m"] == pytest.approx(72 * INCH)  # 12,000 - 142 x 84
    cable = next(p for p in data["parts"] if p["part"] == "cable")
    assert cable["order"] == 40 - 3 + cable["spares"] - 20
    assert cable["chance_short"] <= 0.05
    text = run("gear", "parts", build(tmp_path), *words, "--line", line, "--at", AT).out
    assert "Out until rebuilt: 101 at set N1 (held an animal)" in " ".join(text.split())
    assert "no cut list opens less" in text


def test_a_frayed_cable_is_out_once_it_is_noted(line: str, tmp_path: Path) -> None:
    made = done("note", "device-built", "105", "--line", line, "--at", AT, "--json").data["kept"][0]["id"]
    at = ("--line", line, "--at", AT)
    done("note", "correction", made, "--set", "good-order=no", "--why", "frayed at the lock", *at)
    data = valid(run("gear", "parts", build(tmp_path), *at, "--json"), "parts")
    assert data["ledger"] == {"in_stock": 1, "in_field": 3, "out_until_rebuilt": ["105"], "other_builds": 0}


def test_standard_output_holds_the_document_and_nothing_else(line: str, tmp_path: Path) -> None:
    # In a process of its own: what a compiled engine writes past Python is seen only there.
    words = ["gear", "parts", build(tmp_path), "--roll", "1000ft", "--cut", "9", "--line", line, "--json"]
    ended = subprocess.run(
        [sys.executable, "-m", "tendline.cli", *words], capture_output=True, text=True, check=False
    )
    assert ended.returncode == 0, ended.stderr
    assert json.loads(ended.stdout)["cut_list"]["proved"]


def test_one_piece_too_many_is_refused(line: str, tmp_path: Path) -> None:
    words = ("--roll", "1000ft", "--cut", "143")
    seen = run("gear", "parts", build(tmp_path), *words, "--line", line)
    assert seen.code == 2
    assert "PLAN-182" in seen.err


@pytest.mark.parametrize(
    ("changed", "code"),
    [
        ({"largest": "7 in"}, "GEAR-101"),
        ({"breakaway": "1200 lb"}, "GEAR-102"),
        ({"length": "30 in"}, "GEAR-107"),
        ({"length": "30"}, "CORE-101"),
    ],
)
def test_a_build_that_cannot_be_is_named(
    line: str, tmp_path: Path, changed: dict[str, str], code: str
) -> None:
    seen = run("gear", "build", build(tmp_path, **changed), "--line", line)
    assert seen.code == 2
    assert code in seen.err
    assert seen.out == ""


def test_negative_snow_an_unknown_animal_and_place_are_named(line: str) -> None:
    seen = run("gear", "loop", "coyote", "--new-snow", "-3in", "--line", line)
    assert (seen.code, "GEAR-103" in seen.err) == (2, True)
    seen = run("gear", "loop", "unicorn", "--where", "moon", "--line", line)
    assert seen.code == 2
    assert seen.err.count("GEAR-104") == 2
    seen = run("gear", "loop", "raccoon", "--where", "under-fence", "--line", line)
    assert (seen.code, "coyote" in seen.err) == (2, True)


def test_every_fault_of_a_build_file_is_told_at_once(line: str, tmp_path: Path) -> None:
    path = tmp_path / "bad.toml"
    path.write_text(
        'nmae = "x"\n[cable]\nmake = "6x6"\ncost_per_ft = -1\n[loop]\nlargest_across = 12\n'
        '[wheel]\n[swivel]\ncount = 99\nat = "anchor"\nfree = 1\n[breakaway]\npulls = "285 lb"\n',
        encoding="utf-8",
    )
    seen = run("gear", "build", str(path), "--line", line)
    assert seen.code == 2
    assert seen.err.count("GEAR-106") >= 10
    for word in ("name", "6x6", "wheel", "cable.length", "swivel.count", "pulls"):
        assert word in seen.err
    for text in ("[cable", None):
        if text is None:
            path.unlink()
        else:
            path.write_text(text, encoding="utf-8")
        assert "GEAR-106" in run("gear", "build", str(path), "--line", line).err


def test_stock_and_rolls_that_cannot_be_read_are_named(line: str, tmp_path: Path) -> None:
    words = ("--have", "wheels=3", "--have", "cable=many", "--devices", "-1")
    seen = run("gear", "parts", build(tmp_path), *words, "--line", line)
    assert seen.code == 2
    assert seen.err.count("GEAR-105") == 3
    seen = run("gear", "parts", build(tmp_path), "--roll", "1000ft*x", "--roll", "long", "--line", line)
    assert seen.code == 2
    assert "GEAR-105" in seen.err
    assert "CORE-101" in seen.err
    seen = run("gear", "parts", build(tmp_path), "--risk", "2", "--line", line)
    assert (seen.code, "GEAR-105" in seen.err) == (2, True)
