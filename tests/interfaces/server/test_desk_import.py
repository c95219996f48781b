"""Files handed over on the desk page: what a name may be, what is too large, looked at, taken, let go."""

import asyncio
from collections.abc import AsyncIterator
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from tendline.jobs.serve import Desk, open_desk
from tendline.server import uploads
from tendline.server.answering import Stop
from tendline.server.uploads import Uploads, label_of
from tests.asgi import Browser
from tests.interfaces.server.test_desk import ASKED, FAULTS, ask, let_in, refused, schema
from tests.journeys.run import run
from tests.lines import MORNING, small_line

GOOD = "kind,name,lon,lat,set_at,tag,parcel,loop_in\nset,N8,-78.013,41.513,2027-01-11 07:00,180,mill,10\n"
BAD = "kind,name,lon,lat,tag,loop_in\nset,N7,-78.013,95,170,ten\n"


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return open_desk(small_line(tmp_path / "line"), at=MORNING, units=None, asked=ASKED)


@pytest.fixture
def browser(desk: Desk) -> Browser:
    return let_in(desk)


def hand_over(browser: Browser, name: str, content: str | bytes, batch: str = "") -> dict[str, Any]:
    answer = browser.post(
        "/api/desk-files/bring",
        params={"name": name, "batch": batch} if batch else {"name": name},
        content=content,
        headers={"content-type": "application/octet-stream"},
    )
    assert answer.status_code == 200, answer.text
    return dict(answer.json()["answer"])


def state(desk: Desk) -> tuple[int, list[str]]:
    """Everything of the line folder that taking files would change."""
    space = desk.space()
    return len(space.events()), sorted(path.name for path in (desk.folder / "ground").glob("*"))


def test_files_are_looked_at_and_nothing_is_written_before_they_are_taken(
    desk: Desk, browser: Browser
) -> None:
    before = state(desk)
    kept = hand_over(browser, "more.csv", GOOD)
    looked = ask(browser, "bring-look", batch=kept["batch"])
    jsonschema.validate(looked["answer"], schema("jobs/schemas/bring-look"))
    assert not looked["bad_news"]
    assert looked["answer"]["files"][0]["new"] == ["N8"]
    assert [(one["kind"], one["name"]) for one in looked["answer"]["would"]] == [
        ("device-built", "180"),
        ("set-made", "N8"),
    ]
    assert state(desk) == before
    taken = ask(browser, "bring-take", batch=kept["batch"])["answer"]
    jsonschema.validate(taken, schema("jobs/schemas/bring"))
    events, files = state(desk)
    assert events == before[0] + 2
    assert [name.partition("-")[2] for name in files] == ["more.csv"]
    assert not (desk.folder / uploads.COMING).exists()
    assert refused(browser, "bring-take", batch=kept["batch"]) == ["SRV-109"]


def test_every_fault_of_every_file_is_shown_beside_what_is_good(desk: Desk, browser: Browser) -> None:
    before = state(desk)
    batch = hand_over(browser, "bad.csv", BAD)["batch"]
    hand_over(browser, "more.csv", GOOD, batch)
    hand_over(browser, "notes.odt", b"PK\x03\x04 nothing", batch)
    looked = ask(browser, "bring-look", batch=batch, made="some day")
    jsonschema.validate(looked["answer"], schema("jobs/schemas/bring-look"))
    assert looked["bad_news"]
    wheres = [fault["where"] for fault in looked["answer"]["faults"]]
    assert wheres[0] == "--made"
    assert [one.partition(",")[0] for one in wheres[1:]] == ["bad.csv", "bad.csv", "notes.odt"]
    assert looked["answer"]["files"][0]["new"] == ["N8"]
    said = run("bring", *_paths(desk, "bad.csv"), "--line", str(desk.folder), "--at", MORNING)
    assert said.code == 2
    assert all(where in said.err for where in wheres[1:3])
    assert set(refused(browser, "bring-take", batch=batch)) <= {
        fault["code"] for fault in looked["answer"]["faults"]
    }
    assert state(desk) == before
    ask(browser, "bring-drop", batch=batch)
    assert not (desk.folder / uploads.COMING).exists()


def _paths(desk: Desk, name: str) -> list[str]:
    return [str(path) for path in (desk.folder / uploads.COMING).glob(f"*/{name}")]


def test_a_set_that_the_line_does_not_fit_is_a_fault_before_it_is_taken(browser: Browser) -> None:
    twice = GOOD + "set,N6,-78.014,41.514,2027-01-11 07:00,180,mill,10\n"
    batch = hand_over(browser, "twice.csv", twice)["batch"]
    looked = ask(browser, "bring-look", batch=batch)["answer"]
    assert [fault["where"] for fault in looked["faults"]]
    assert set(refused(browser, "bring-take", batch=batch)) == {f["code"] for f in looked["faults"]}


@pytest.mark.parametrize(
    ("name", "label"),
    [
        ("../../line.toml", "line.toml"),
        ("C:\\ground\\sets.csv", "sets.csv"),
        ("/etc/passwd", "passwd"),
        ("..", "file"),
        ("", "file"),
        (".coming", "coming"),
        ("a\x00b\nc.gpx", "a-b-c.gpx"),
        ("Höhen 2027.tif", "Höhen 2027.tif"),
        ("x" * 300 + ".geojson", "x" * 80 + ".geojson"),
    ],
)
def test_a_name_is_a_label_and_never_a_path(name: str, label: str) -> None:
    assert label_of(name) == label


def test_nothing_comes_to_lie_outside_its_folder(desk: Desk, browser: Browser) -> None:
    settings = (desk.folder / "line.toml").read_bytes()
    kept = hand_over(browser, "../../line.toml", b"zone = 3")
    assert kept["file"] == "line.toml"
    assert (desk.folder / "line.toml").read_bytes() == settings
    assert (desk.folder / uploads.COMING / kept["batch"] / "line.toml").read_bytes() == b"zone = 3"
    assert refused(browser, "bring-look", batch="../..") == ["SRV-109"]


def test_a_shapefile_is_brought_by_its_shp(tmp_path: Path) -> None:
    held = Uploads()
    batch = held.begin(tmp_path)
    for name in ("land.shp", "land.dbf", "land.prj", "land.shx", "other.dbf"):
        asyncio.run(held.keep(batch, name, _pieces(b"x")))
    assert [Path(path).name for path in held.files(batch)] == ["land.shp", "other.dbf"]
    held.close()
    assert not (tmp_path / uploads.COMING).exists()


async def _pieces(*pieces: bytes) -> AsyncIterator[bytes]:
    for piece in pieces:
        yield piece


def test_what_is_too_large_is_stopped_while_it_comes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(uploads, "MAX_FILE", 10)
    held = Uploads()
    batch = held.begin(tmp_path)
    with pytest.raises(Stop, match=r"larger than"):
        asyncio.run(held.keep(batch, "big.tif", _pieces(b"12345", b"67890", b"1")))
    assert list((tmp_path / uploads.COMING / batch).iterdir()) == []
    asyncio.run(held.keep(batch, "fits.tif", _pieces(b"12345", b"67890")))
    monkeypatch.setattr(uploads, "MAX_FILES", 1)
    with pytest.raises(Stop, match=r"more than 1 files"):
        asyncio.run(held.keep(batch, "one-more.tif", _pieces(b"1")))


def test_only_some_handfuls_are_held_and_what_a_killed_server_left_is_swept(tmp_path: Path) -> None:
    left = tmp_path / uploads.COMING / "old"
    left.mkdir(parents=True)
    held = Uploads()
    batches = [held.begin(tmp_path) for _ in range(6)]
    assert not left.exists()
    assert sorted(path.name for path in (tmp_path / uploads.COMING).iterdir()) == sorted(batches[-4:])


def test_only_a_browser_of_the_desk_hands_files_over(desk: Desk) -> None:
    phone = let_in(desk, to_desk=False)
    octets = {"content-type": "application/octet-stream"}
    answer = phone.post("/api/desk-files/bring", content=b"x", headers=octets)
    assert answer.status_code == 403
    jsonschema.validate(answer.json(), FAULTS)
    browser = let_in(desk)
    assert browser.post("/api/desk-files/bring", json={}).status_code == 415
    assert not (desk.folder / uploads.COMING).exists()


def test_a_full_disk_is_told(desk: Desk, browser: Browser, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "mkdir", full)
    answer = browser.post(
        "/api/desk-files/bring", content=b"x", headers={"content-type": "application/octet-stream"}
    )
    assert answer.status_code == 400
    assert answer.json()["faults"][0]["code"] == "SRV-110"
