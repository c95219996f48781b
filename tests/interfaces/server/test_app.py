"""The server as a phone meets it: pairing, the round, messages exactly once, and everybody else kept out."""

import hashlib
import io
import json
import wave
from pathlib import Path
from typing import Any

import httpx
import pytest

from tendline.jobs.round import Asked
from tendline.jobs.serve import Desk, open_desk
from tendline.server.app import make_app
from tendline.server.guard import Guard
from tendline.server.limits import MAX_MESSAGE
from tendline.server.pages import Pages
from tests.asgi import Browser
from tests.journeys.run import done
from tests.lines import MORNING, small_line
from tests.unit.field.told import entry, message

HERE = "http://localhost"
OURS = {
    "origin": HERE,
    "sec-fetch-site": "same-origin",
    "x-tendline": "1",
    "content-type": "application/json",
}
PAGES = Pages({"index.html": b"<!doctype html>", "assets/a.js": b"1", "desk.js": b"2"}, "0" * 64)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> str:
    return small_line(tmp_path_factory.mktemp("lines") / "line")


@pytest.fixture
def desk(made: str, tmp_path: Path) -> Desk:
    """A copy of the line, opened at six on Tuesday."""
    folder = tmp_path / "line"
    folder.mkdir()
    for file in Path(made).iterdir():
        if file.is_file():
            (folder / file.name).write_bytes(file.read_bytes())
    asked = Asked(start="06:10", back="12:00", seconds=None, iterations=50)
    return open_desk(str(folder), at=MORNING, units=None, asked=asked)


@pytest.fixture
def stranger(desk: Desk) -> Browser:
    return Browser(Guard(make_app(desk, PAGES), ("localhost",)), base_url=HERE)


@pytest.fixture
def phone(desk: Desk, stranger: Browser) -> Browser:
    answer = stranger.post("/api/pair", json={"word": desk.offer().word}, headers=OURS)
    assert answer.status_code == 200
    stranger.headers["authorization"] = f"Bearer {answer.json()['key']}"
    return stranger


def send(client: Browser, *entries: Any, **more: Any) -> httpx.Response:
    return client.post("/api/events", content=message(*entries, **more), headers=OURS)


def events(desk: Desk) -> int:
    return len(desk.space().events())


def now_entry(number: int, **body: Any) -> dict[str, Any]:
    """A check at half past five on Tuesday."""
    return entry(number, hours=24.5, **body)


# --- pairing ------------------------------------------------------------------------------------------


def test_nothing_is_read_or_written_without_pairing(desk: Desk, stranger: Browser) -> None:
    before = events(desk)
    for answer in (
        stranger.get("/api/round"),
        stranger.get("/api/me"),
        send(stranger, now_entry(1)),
        stranger.put(f"/api/photos/{'0' * 64}?from=0&of=9", headers=OURS),
        stranger.post("/api/pair", json={"word": "guess"}, headers=OURS),
    ):
        assert answer.status_code in (401, 403)
        assert "set" not in answer.text.replace("reset", "")
    assert events(desk) == before


def test_a_pairing_word_is_good_once(desk: Desk, stranger: Browser) -> None:
    word = {"word": desk.offer("Ben").word, "label": "Android"}
    first = stranger.post("/api/pair", json=word, headers=OURS)
    assert first.json()["person"] == "Ben"
    assert "set-cookie" not in first.headers  # nothing that a browser sends by itself
    again = stranger.post("/api/pair", json=word, headers=OURS)
    assert again.status_code == 403


def test_a_pairing_word_is_good_for_five_minutes(
    desk: Desk, stranger: Browser, monkeypatch: pytest.MonkeyPatch
) -> None:
    word = desk.offer().word
    late = open_desk(str(desk.folder), at="2027-01-12T06:05:01-05:00", units=None, asked=Asked())
    assert late.pair(word, "") is None


def test_the_list_of_phones_is_for_its_owner_and_steers_no_terminal(desk: Desk) -> None:
    assert desk.pair(desk.offer().word, "\x1b[2Jmine") is not None
    assert (desk.folder / "paired.db").stat().st_mode & 0o077 == 0
    assert "\x1b" not in done("serve", "--phones", "--line", str(desk.folder)).out


def test_keys_and_words_are_not_in_the_line_folder(desk: Desk, phone: Browser) -> None:
    key, word = phone.headers["authorization"].split(" ")[1], desk.offer().word
    content = b"".join(file.read_bytes() for file in desk.folder.rglob("*") if file.is_file())
    assert key.encode() not in content
    assert word.encode() not in content


def test_a_revoked_phone_is_out_at_once_and_what_it_sent_stays(desk: Desk, phone: Browser) -> None:
    assert send(phone, now_entry(1)).status_code == 200
    via = phone.get("/api/me").json()["via"]
    done("serve", "--revoke", via, "--line", str(desk.folder), "--at", MORNING)
    assert send(phone, now_entry(2)).status_code == 401
    assert phone.get("/api/round").status_code == 401
    assert [e.via for e in desk.space().events()][-1] == via


def test_guessing_is_slow(desk: Desk, stranger: Browser) -> None:
    codes = [
        stranger.post("/api/pair", json={"word": str(number)}, headers=OURS).status_code
        for number in range(40)
    ]
    assert codes[0] == 403
    assert codes[-1] == 429


# --- the round ----------------------------------------------------------------------------------------


def test_the_round_is_enough_for_days_without_the_machine(desk: Desk, phone: Browser) -> None:
    assert desk.plan() == ""
    found = phone.get("/api/round")
    assert found.headers["cache-control"] == "no-store"
    carried = found.json()
    assert {one["name"] for one in carried["sets"]} == {"N1", "N2", "N3", "S1"}
    one = next(s for s in carried["sets"] if s["name"] == "N3")
    assert one["landmark"] == "post N3"
    assert one["place"] == [-78.012, 41.512]
    assert one["due"] is not None
    assert one["verified"] is False  # nobody has confirmed the profile
    visits = [v["set"] for stop in carried["plan"]["stops"] for v in stop["visits"]]
    assert sorted(visits) == ["N1", "N2", "N3", "S1"]
    assert all(spot["home_min"] > 0 for spot in carried["parkings"])
    coyote = next(d for d in carried["duties"] if d["species"] == "coyote" and d["alive"])
    assert coyote["duties"][0]["due_min"] == 1440.0  # the demo profile: reported within 24 hours
    assert carried["parcels"][0]["owner"] == "Jo Mill (invented)"
    (guidance,) = carried["guidance"]
    assert guidance["profile"] == "xx-demo"
    assert guidance["steps"]["lines"][0] == "Call the county office first when you are alone."
    assert guidance["steps"]["verified"] is False  # nobody has confirmed the profile
    assert "invented" in guidance["call"]["citation"]


def test_a_round_that_cannot_be_planned_is_carried_by_what_is_due(desk: Desk, phone: Browser) -> None:
    other = open_desk(str(desk.folder), at=MORNING, units=None, asked=Asked())
    assert "nothing on record says when" in other.plan()
    carried = other.carried()
    assert carried["plan"] is None
    assert carried["why_no_plan"]
    assert len(carried["sets"]) == 4


# --- messages -----------------------------------------------------------------------------------------


def test_a_message_is_on_the_disk_when_it_is_acknowledged(desk: Desk, phone: Browser) -> None:
    answer = send(phone, now_entry(1), now_entry(2, set="N1"))
    assert answer.json()["acked"] == [now_entry(1)["id"], now_entry(2)["id"]]
    assert answer.json()["entered"] == 2
    line = desk.space().line()
    assert line.sets["N3"].looks[-1].at.isoformat() == "2027-01-12T10:30:00+00:00"


def test_sent_twice_it_is_there_once(desk: Desk, phone: Browser) -> None:
    before = events(desk)
    for _ in range(3):
        answer = send(phone, now_entry(1))
        assert answer.json()["acked"] == [now_entry(1)["id"]]
    assert events(desk) == before + 1
    assert answer.json()["known"] == 1


def test_the_same_id_with_another_body_keeps_the_first_and_reports_it(desk: Desk, phone: Browser) -> None:
    send(phone, now_entry(1))
    answer = send(phone, now_entry(1, note="another story"))
    assert answer.json()["conflicts"] == [now_entry(1)["id"]]
    assert answer.json()["acked"] == [now_entry(1)["id"]]  # it is kept aside, so the phone may let go
    odd = done("take", "--odd", "--line", str(desk.folder), "--at", MORNING)
    assert odd.code == 1
    assert "another story" in odd.out


def test_an_odd_one_is_kept_and_flagged_never_dropped(desk: Desk, phone: Browser) -> None:
    before = events(desk)
    answer = send(phone, now_entry(1, set="N9"), now_entry(2, found_as="levitating"), "nonsense").json()
    assert (answer["flagged"], answer["held"]) == (1, 2)
    assert events(desk) == before + 1
    told = done("take", "--odd", "--line", str(desk.folder), "--at", MORNING).out
    assert "N9" in told
    assert "levitating" in told
    assert "nonsense" in told
    assert desk.state()["odd"] == 3


def test_a_correction_that_comes_before_its_event_waits_for_it(desk: Desk, phone: Browser) -> None:
    undo = entry(2, "void", hours=24.6, of=now_entry(1)["id"], why="wrong set")
    assert send(phone, undo).json()["held"] == 1
    answer = send(phone, now_entry(1)).json()
    assert answer["freed"] == 1
    assert not desk.space().line().sets["N3"].looks
    assert "Nothing odd" in done("take", "--odd", "--line", str(desk.folder), "--at", MORNING).out


def test_a_wrong_clock_is_told(phone: Browser) -> None:
    answer = send(phone, now_entry(1), sent_at="2027-01-12T12:00:00Z").json()
    assert answer["clock_ahead_s"] == pytest.approx(3600, abs=5)
    assert any("clock is 60 min ahead" in warning for warning in answer["warnings"])


@pytest.mark.parametrize(
    ("content", "status"),
    [
        (b"", 400),
        (b"{}", 400),
        (b"[" * 60_000, 400),
        (b'"\xff"', 400),
        (message(events=[{}] * 501), 400),
        (b" " * (MAX_MESSAGE + 1), 413),
    ],
    ids=["empty", "no message", "deep", "not UTF-8", "too many", "too large"],
)
def test_a_hostile_message_changes_nothing(desk: Desk, phone: Browser, content: bytes, status: int) -> None:
    before = events(desk)
    answer = phone.post("/api/events", content=content, headers=OURS)
    assert answer.status_code == status
    assert answer.json()["faults"]
    assert events(desk) == before


def test_a_message_costs_the_disk_only_its_own_write(desk: Desk, phone: Browser) -> None:
    """The last one to close a database in WAL mode puts its log away (sqlite.org/wal.html): not each time."""
    log = desk.folder / "logbook.db-wal"
    for number in (1, 2):
        assert phone.post("/api/events", content=message(now_entry(number)), headers=OURS).status_code == 200
        assert log.stat().st_size > 0
    desk.close()
    assert not log.exists()
    assert phone.post("/api/events", content=message(now_entry(3)), headers=OURS).status_code == 200
    assert log.exists()
    assert done("audit", "--line", str(desk.folder)).code == 0
    desk.close()


# --- photos -------------------------------------------------------------------------------------------

PHOTO = b"\xff\xd8\xff\xe0" + bytes(range(256)) * 8


def piece(
    client: Browser, sha: str, start: int, content: bytes, total: int = len(PHOTO), *, sort: str = "photos"
) -> httpx.Response:
    headers = {**OURS, "content-type": "application/octet-stream"}
    return client.put(f"/api/{sort}/{sha}?from={start}&of={total}", content=content, headers=headers)


def test_a_photo_goes_on_where_it_stopped(desk: Desk, phone: Browser) -> None:
    sha = hashlib.sha256(PHOTO).hexdigest()
    assert piece(phone, sha, 0, PHOTO[:700]).json() == {"have": 700}
    assert piece(phone, sha, 0, PHOTO[:700]).json() == {"have": 700}  # the answer was lost: not twice
    assert piece(phone, sha, 0, b"").json() == {"have": 700}
    assert piece(phone, sha, 700, PHOTO[700:]).json() == {"have": len(PHOTO)}
    assert (desk.folder / "photos/from-phones" / f"{sha}.jpg").read_bytes() == PHOTO
    assert piece(phone, sha, 0, b"").json() == {"have": len(PHOTO)}


@pytest.mark.parametrize(
    ("sha", "total", "content"),
    [
        ("0" * 64, len(PHOTO), PHOTO),  # not its hash
        ("..%2F..%2Fline.toml", 9, b"x" * 9),
        ("0" * 63, 9, b"x" * 9),
        ("0" * 64, 6_000_000, b"x"),
        ("0" * 64, 3, b"x" * 9),
    ],
)
def test_what_is_no_photo_leaves_nothing(
    desk: Desk, phone: Browser, sha: str, total: int, content: bytes
) -> None:
    answer = piece(phone, sha, 0, content, total)
    assert answer.status_code in (400, 404, 405)
    if answer.status_code == 400:
        assert answer.json()["faults"][0]["code"] == "JOB-602"
    home = desk.folder / "photos/from-phones"
    assert not home.exists() or not list(home.glob("*.jpg"))


WAVE = io.BytesIO()
with wave.open(WAVE, "wb") as tone:
    tone.setparams((1, 2, 8000, 800, "NONE", ""))
    tone.writeframes(bytes(1600))
VOICES = {
    ".wav": WAVE.getvalue(),
    # RFC 8794, 11.1 and RFC 9559: EBML, its length, DocType (0x4282) "webm"
    ".webm": bytes.fromhex("1a45dfa39f4286810142f7810142f2810442f381084282847765626d") + bytes(300),
    # RFC 3533, section 6: the capture pattern, version 0, first page of a stream
    ".ogg": b"OggS\0\x02" + bytes(300),
    # ISO/IEC 14496-12, 4.3: a file type box of 32 bytes, major brand M4A
    ".m4a": b"\0\0\0\x20ftypM4A " + bytes(300),
    ".mp3": b"ID3\x04" + bytes(300),
}


@pytest.mark.parametrize(("ending", "content"), VOICES.items(), ids=VOICES)
def test_a_voice_note_is_named_by_what_it_holds(
    desk: Desk, phone: Browser, ending: str, content: bytes
) -> None:
    sha = hashlib.sha256(content).hexdigest()
    assert piece(phone, sha, 0, content[:100], len(content), sort="voices").json() == {"have": 100}
    assert piece(phone, sha, 100, content[100:], len(content), sort="voices").json() == {"have": len(content)}
    assert piece(phone, sha, 0, b"", len(content), sort="voices").json() == {"have": len(content)}
    assert (desk.folder / "voices/from-phones" / f"{sha}{ending}").read_bytes() == content


@pytest.mark.parametrize("content", [PHOTO, b"<script>alert(1)</script>", b"MZ" + bytes(90), b"\x7fELF\x02"])
def test_what_is_no_voice_is_not_kept(desk: Desk, phone: Browser, content: bytes) -> None:
    sha = hashlib.sha256(content).hexdigest()
    answer = piece(phone, sha, 0, content, len(content), sort="voices")
    assert (answer.status_code, answer.json()["faults"][0]["code"]) == (400, "JOB-602")
    assert not list((desk.folder / "voices/from-phones").iterdir())


# --- other people's pages -----------------------------------------------------------------------------

ATTACKS: dict[str, dict[str, str]] = {
    "rebound name": {**OURS, "host": "evil.test", "origin": "http://evil.test"},
    "host behind the port": {**OURS, "host": "localhost:80@evil.test"},
    "cross site": {**OURS, "origin": "http://evil.test", "sec-fetch-site": "cross-site"},
    "another port": {**OURS, "origin": "http://localhost:9999", "sec-fetch-site": "same-site"},
    "no origin": {k: v for k, v in OURS.items() if k != "origin"},
    "null origin": {**OURS, "origin": "null"},
    "no header of ours": {k: v for k, v in OURS.items() if k != "x-tendline"},
    "a form": {**OURS, "content-type": "text/plain"},
    "JSON with a parameter": {**OURS, "content-type": "application/json; charset=x"},
}


@pytest.mark.parametrize("headers", ATTACKS.values(), ids=ATTACKS)
def test_another_page_in_the_same_browser_writes_nothing(
    desk: Desk, phone: Browser, headers: dict[str, str]
) -> None:
    before = events(desk)
    answer = phone.post("/api/events", content=message(now_entry(1)), headers=headers)
    assert answer.status_code in (403, 415, 421)
    assert events(desk) == before
    assert "access-control-allow-origin" not in answer.headers


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_another_page_reads_nothing(phone: Browser, site: str) -> None:
    for path in ("/api/round", "/api/me", "/"):
        assert phone.get(path, headers={"sec-fetch-site": site}).status_code == 403
    link = {"sec-fetch-site": site, "sec-fetch-mode": "navigate"}
    assert phone.get("/", headers=link).status_code == 200
    assert phone.get("/api/round", headers=link).status_code == 403


@pytest.mark.parametrize("method", ["DELETE", "PATCH", "OPTIONS", "TRACE"])
def test_no_other_method_gets_through(phone: Browser, method: str) -> None:
    assert phone.request(method, "/api/events", headers=OURS).status_code == 405


def test_every_answer_forbids_third_parties_and_frames(stranger: Browser) -> None:
    for path in ("/", "/sw.js", "/api/round", "/nowhere"):
        policy = stranger.get(path).headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert "frame-ancestors 'none'" in policy
        assert "http" not in policy


def test_pages_are_named_files_and_nothing_else(stranger: Browser) -> None:
    assert stranger.get("/assets/a.js").headers["content-type"].startswith("text/javascript")
    for path in ("/../line.toml", "/%2e%2e/line.toml", "/assets/../../x", "/desk.py", "/line.toml"):
        assert stranger.get(path).status_code == 404


def test_the_worker_keeps_the_page_and_nothing_of_the_desk(stranger: Browser) -> None:
    worker = stranger.get("/sw.js").text
    names = json.loads(worker[worker.index("[") : worker.index("]") + 1])
    assert names == ["./", "assets/a.js"]
