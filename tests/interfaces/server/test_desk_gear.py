"""The gear of the desk page: what the commands say of builds, parts, stock; kept whole or not at all."""

from pathlib import Path
from typing import Any

import jsonschema
import pytest

from tendline.jobs import gear_builds
from tendline.jobs.example.build import BUILD
from tendline.jobs.serve import Desk, open_desk
from tests.asgi import Browser
from tests.desk_browser import DEMO_ROUND, EVENING, demo_line
from tests.interfaces.server.test_desk import ask, let_in, refused, schema
from tests.journeys.run import done

FILE = "builds/coyote-and-fox.toml"
FOOT = 0.3048
"""Exact: international yard and pound agreement, 1959."""


@pytest.fixture
def desk(tmp_path: Path, tmp_path_factory: pytest.TempPathFactory) -> Desk:
    folder = demo_line(tmp_path / "line", tmp_path_factory.getbasetemp())
    return open_desk(folder, at=EVENING, units=None, asked=DEMO_ROUND)


@pytest.fixture
def browser(desk: Desk) -> Browser:
    return let_in(desk)


def said(desk: Desk, *words: str) -> dict[str, Any]:
    return dict(done("gear", *words, "--line", str(desk.folder), "--at", EVENING, "--json").data)


def test_a_build_comes_to_what_the_command_says(desk: Desk, browser: Browser) -> None:
    builds = ask(browser, "gear-builds")["answer"]["builds"]
    assert [one["file"] for one in builds] == [FILE]
    found = ask(browser, "gear-build", file=FILE, text=builds[0]["text"])
    jsonschema.validate(found["answer"], schema("jobs/schemas/gear-build"))
    assert found["answer"] == said(desk, "build", str(desk.folder / FILE))
    # What is edited and not kept is what is laid out.
    strong = builds[0]["text"].replace('label = "285 lb"', 'label = "900 lb"')
    assert refused(browser, "gear-build", file=FILE, text=strong) == ["GEAR-102"]
    longer = builds[0]["text"].replace('length = "72 in"', 'length = "96 in"')
    more = ask(browser, "gear-build", file=FILE, text=longer)["answer"]
    assert more["cable_length_m"] - found["answer"]["cable_length_m"] == pytest.approx(2 * FOOT)


def test_parts_and_stock_are_as_the_commands_say(desk: Desk, browser: Browser) -> None:
    path = str(desk.folder / FILE)
    given = {"devices": 60, "nights": 30, "risk": 0.1, "rolls": ["250ft*2"], "cut": 40, "pieces": ["30in*5"]}
    found = ask(browser, "gear-parts", file=FILE, text=BUILD, **given)
    jsonschema.validate(found["answer"], schema("jobs/schemas/gear-parts"))
    words = ("--devices", "60", "--nights", "30", "--risk", "0.1", "--roll", "250ft*2", "--cut", "40")
    by_command = said(desk, "parts", path, *words, "--piece", "30in*5")
    assert _without_nights(found["answer"]) == _without_nights(by_command)
    cuts = found["answer"]["cut_list"]
    for cut in cuts["cuts"]:
        used = sum(one["count"] * one["length_m"] for one in cut["pieces"])
        assert used + cut["left_m"] == pytest.approx(cut["length_m"], abs=1e-6)
    assert cuts["bound_m"] <= cuts["opened_m"] + 1e-9
    stock = ask(browser, "gear-stock")["answer"]
    assert stock["stock"] == by_command["stock"]
    assert [one["tag"] for one in stock["out_until_rebuilt"]] == [
        one["tag"] for one in by_command["out_until_rebuilt"]
    ]


def _without_nights(told: dict[str, Any]) -> dict[str, Any]:
    """Leave out what goes on with the clock of the server."""
    gone = ("catches_per_device_night", "damage_per_device_night", "parts")
    return {key: value for key, value in told.items() if key not in gone}


def test_an_edited_build_is_kept_whole_or_not_at_all(
    desk: Desk, browser: Browser, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = (desk.folder / FILE).read_text()
    broken = BUILD.replace('make = "7x7"', 'make = "9x9"').replace("[swivel]", "[swivels]")
    assert refused(browser, "gear-keep", file=FILE, text=broken) == ["GEAR-106", "GEAR-106"]
    assert refused(browser, "gear-keep", file=FILE, text="[cable\n") == ["GEAR-106"]
    assert refused(browser, "gear-keep", file="builds/new.toml", text="") != []
    assert (desk.folder / FILE).read_text() == before
    assert not (desk.folder / "builds/new.toml").exists()
    fox = BUILD.replace("coyote and fox", "fox")
    assert ask(browser, "gear-keep", file="builds/fox.toml", text=fox)["answer"] == {
        "file": "builds/fox.toml",
        "name": "fox",
    }
    assert (desk.folder / "builds/fox.toml").read_text() == fox
    assert said(desk, "build", str(desk.folder / "builds/fox.toml"))["build"] == "fox"

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(gear_builds, "write_whole", full)
    assert refused(browser, "gear-keep", file=FILE, text=fox) == ["JOB-104"]
    assert (desk.folder / FILE).read_text() == before


@pytest.mark.parametrize(
    "file",
    [
        "../fox.toml",
        "line.toml",
        "/etc/fox.toml",
        "builds/../line.toml",
        "builds/fox.txt",
        "builds/.toml",
        "",
    ],
)
def test_a_build_is_kept_nowhere_else(desk: Desk, browser: Browser, file: str) -> None:
    before = sorted(path.name for path in desk.folder.iterdir())
    assert refused(browser, "gear-keep", file=file, text=BUILD) == ["JOB-301"]
    assert sorted(path.name for path in desk.folder.iterdir()) == before


def test_a_text_that_was_sent_reads_no_other_folder(desk: Desk, browser: Browser) -> None:
    pulls = BUILD.replace('label = "285 lb"', 'pulls_file = "../pulls.csv"')
    (desk.folder / "pulls.csv").write_text("load_lb\n270\n281\n")
    assert refused(browser, "gear-build", file=FILE, text=pulls) == ["GEAR-106"]
    (desk.folder / "builds" / "pulls.csv").write_text("load_lb\n270\n281\n277\n")
    beside = ask(browser, "gear-build", file=FILE, text=pulls.replace("../", ""))["answer"]
    assert beside["chain"]["breakaway"]["pulls"] == 3


def test_builds_beside_the_settings_are_found_too(desk: Desk, browser: Browser) -> None:
    (desk.folder / "fox.toml").write_text(BUILD)
    (desk.folder / "injury-points.toml").write_text("[points]\n")
    (desk.folder / "builds" / "broken.toml").write_text("[cable\n")
    files = [one["file"] for one in ask(browser, "gear-builds")["answer"]["builds"]]
    assert files == ["builds/broken.toml", FILE, "fox.toml"]
