"""The record by hand: start a line, note, correct, void, audit; and every way to get it wrong."""

import os
import signal
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

from tests.journeys.run import done, run

PLACE = "--at-place=-78.01,41.51"
MORNING = "2027-01-12T06:00-05:00"


@pytest.fixture
def line(tmp_path: Path) -> str:
    """A new line with one set."""
    folder = str(tmp_path / "line")
    done("start", folder, "--zone", "America/New_York", "--handler", "Ann", "--home=-78,41.5")
    done(
        *(
            "note",
            "set-made",
            "N3",
            "--line",
            folder,
            "--at",
            "2027-01-11T06:05-05:00",
            "--tag",
            "101",
            PLACE,
        ),
        *("--loop", "10in", "--bottom", "9in", "--surface", "ground", "--landmark", "third post"),
    )
    return folder


def test_a_check_is_kept_and_a_late_one_is_marked(line: str) -> None:
    seen = done("note", "check", "N3", "--fine", "--happened", "05:40", "--line", line, "--at", MORNING)
    assert "Tue 12 Jan 05:40" in seen.out
    assert "late" in seen.out
    listed = done("note", "list", "N3", "--line", line, "--json", "--at", MORNING).data["events"]
    assert [e["kind"] for e in listed] == ["device-built", "set-made", "check"][-len(listed) :]
    assert listed[-1]["late"] is True
    assert listed[-1]["body"]["found_as"] == "working"
    assert listed[-1]["happened_at"] == "2027-01-12T05:40:00-05:00"


def test_every_kind_can_be_noted_from_the_command_line(line: str) -> None:
    at = ("--line", line, "--at", MORNING)
    square = "-78.1,41.4 -77.9,41.4 -77.9,41.6 -78.1,41.6"
    calls = [
        ("parcel", "mill", "--outline", square, "--owner", "A. Farmer", "--zones", "side=east"),
        ("permission", "mill", "--first", "2026-12-01", "--last", "2027-02-22", "--written", "yes"),
        ("parking", "P1", "--parcels", "mill", PLACE),
        ("landmark", "oak", PLACE),
        ("device-built", "102", "--loop", "11in"),
        ("device-scrapped", "102", "--why", "kinked"),
        ("check", "N3", "--fine", "--snow", "11 in", "--minutes", "6 min"),
        ("adjusted", "N3", "--bottom", "10in", "--surface", "packed-snow"),
        ("catch", "N3", "--species", "coyote", "--standing", "target", "--fate", "kept", "--weight", "35 lb"),
        ("sign-seen", "coyote", "--how-sure", "track-sure", "--set", "N3"),
        ("weather-seen", "--snow", "11in", "--new-snow", "8in", "--air", "20F"),
        ("available", "Ann", "--start", "2027-01-13T05:00", "--end", "2027-01-13T07:30", "--vehicle", "yes"),
        ("money", "fur", "--amount", "$36.50"),
        ("handover", "Ben", "--sets", "N3", "--note", "flu"),
        ("lost", "N3", "--why", "under the drift"),
        ("found", "N3", "--left-as", "working"),
        ("pulled", "N3"),
    ]
    for call in calls:
        done("note", *call, *at)
    kinds = {e["kind"] for e in done("note", "list", "--json", *at).data["events"]}
    wanted = {call[0] for call in calls} | {"set-made"}
    assert kinds == wanted
    catch = done("note", "list", "--kind", "catch", "--json", *at).data["events"][0]
    assert catch["body"]["weight_kg"] == pytest.approx(15.87573295)  # 35 lb x 0.45359237 kg
    weather = done("note", "list", "--kind", "weather-seen", "--json", *at).data["events"][0]
    assert weather["body"]["air_c"] == pytest.approx(-6.6667, abs=1e-4)  # (20 - 32) x 5/9


def test_a_correction_and_a_void_erase_nothing(line: str) -> None:
    at = ("--line", line, "--at", MORNING)
    kept = done("note", "check", "N3", "--fine", "--json", *at).data["kept"][0]
    done("note", "correction", kept["id"][-8:], "--set", "done=rehung", "--why", "wrote the wrong word", *at)
    void = done("note", "void", kept["id"], "--why", "that was N4", "--json", *at).data["kept"][0]
    listed = done("note", "list", "N3", "--kind", "check", "--json", *at).data["events"]
    assert listed[0]["body"]["done"] == "looked"
    assert {c["kind"] for c in listed[0]["changes"]} == {"correction", "void"}
    assert "void" in done("note", "list", "N3", *at).out
    done("note", "void", void["id"], "--why", "it was N3 after all", *at)


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("check", "N9", "--fine"), "LOG-301"),
        (("check", "N3", "--found-as", "sideways", "--fine"), "LOG-104"),
        (("check", "N3", "--fine", "--loop=-3in"), "LOG-104"),
        (("check", "N3", "--fine", "--loop", "10"), "CORE-101"),
        (("check", "N3", "--fine", "--happened", "1926-01-12"), "LOG-201"),
        (("check", "N3", "--fine", "--happened", "2027-02-12"), "LOG-202"),
        (("check", "N3", "--fine", "--happened", "noon"), "CORE-201"),
        (("check", "N3", "--fine", "--minutes", "long"), "JOB-301"),
        (("set-made", "N4", "--tag", "101", PLACE), "LOG-304"),
        (("set-made", "N4", "--tag", "104"), "LOG-105"),
        (("set-made", "N4", "--at-place", "here"), "JOB-301"),
        (("set-made", "N4", "--at-place=-278,41"), "JOB-301"),
        (("void", "abcdef", "--why", "x"), "JOB-302"),
        (("correction", "abcdef", "--why", "x"), "JOB-302"),
        (("pulled", "N3", "N4"), "JOB-301"),
    ],
)
def test_what_is_wrong_is_named_and_nothing_is_written(line: str, words: tuple[str, ...], code: str) -> None:
    before = done("note", "list", "--json", "--line", line).data
    seen = run("note", *words, "--line", line, "--at", MORNING)
    assert seen.code == 2
    assert code in seen.err
    assert seen.out == ""
    assert done("note", "list", "--json", "--line", line).data == before


def test_two_checks_of_one_set_at_one_instant_are_refused(line: str) -> None:
    at = ("--line", line, "--at", MORNING)
    done("note", "check", "N3", "--fine", *at)
    assert "LOG-306" in run("note", "check", "N3", "--fine", *at).err


def test_a_clock_set_back_is_warned_of(line: str) -> None:
    done("note", "check", "N3", "--fine", "--line", line, "--at", MORNING)
    seen = done("note", "check", "N3", "--fine", "--line", line, "--at", "2027-01-12T05:00-05:00")
    assert "clock" in seen.err


def test_no_folder_a_taken_folder_and_a_full_folder(tmp_path: Path, line: str) -> None:
    assert "JOB-101" in run("audit", "--line", str(tmp_path / "nowhere")).err
    assert "JOB-102" in run("start", line, "--zone", "UTC").err
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "thing.txt").write_text("x")
    assert "JOB-103" in run("start", str(tmp_path / "full"), "--zone", "UTC").err
    assert "JOB-104" in run("start", "/proc/tendline", "--zone", "UTC").err
    assert "CORE-202" in run("start", str(tmp_path / "new"), "--zone", "Europe/Atlantis").err
    assert not (tmp_path / "new").exists()


def test_settings_are_read_strictly_and_every_fault_is_told(line: str) -> None:
    path = Path(line) / "line.toml"
    good = path.read_text(encoding="utf-8")
    path.write_text(good + "\nspeed = 3\n[time2]\nx = 1\n", encoding="utf-8")
    assert "JOB-202" in run("audit", "--line", line).err
    path.write_text(
        good.replace("park_min = 3", 'park_min = "three"').replace("before = ", "befor = "), encoding="utf-8"
    )
    seen = run("audit", "--line", line)
    assert "JOB-203" in seen.err
    assert "JOB-202" in seen.err
    assert "before" in seen.err
    path.write_text("name = ", encoding="utf-8")
    assert "JOB-201" in run("audit", "--line", line).err
    path.write_text('name = "x"\n', encoding="utf-8")
    assert "JOB-204" in run("audit", "--line", line).err


def test_an_audit_of_a_sound_line_is_good_news(line: str) -> None:
    seen = run("audit", "--line", line, "--json", "--at", MORNING)
    assert seen.code == 0
    assert seen.data["whole"] is True
    assert seen.data["devices"] == {"built": 1, "in stock": 0, "in the field": 1, "lost": 0, "scrapped": 0}


def test_an_audit_names_what_was_altered_and_counts_what_is_whole(line: str) -> None:
    raw = sqlite3.connect(Path(line) / "logbook.db", isolation_level=None)
    raw.execute("DROP TRIGGER events_are_not_altered")
    raw.execute("UPDATE events SET by = 'Someone' WHERE kind = 'set-made'")
    raw.close()
    seen = run("audit", "--line", line)
    assert seen.code == 3
    assert "LOG-502" in seen.err
    assert "set-made" in seen.err
    assert "1 of 2" in seen.err


def test_an_audit_survives_a_torn_database(line: str) -> None:
    path = Path(line) / "logbook.db"
    raw = sqlite3.connect(path)
    raw.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    raw.close()
    data = bytearray(path.read_bytes())
    for at in range(4096, len(data), 4096):
        data[at : at + 512] = b"\xa5" * min(512, len(data) - at)
    path.write_bytes(bytes(data))
    seen = run("audit", "--line", line)
    assert seen.code == 3
    assert "LOG-50" in seen.err
    assert "Traceback" not in seen.err


def test_a_device_in_two_places_is_bad_news(line: str) -> None:
    at = ("--line", line, "--at", MORNING)
    done("note", "check", "N3", "--fine", "--done", "swapped", "--tag", "102", *at)
    kept = done("note", "list", "--kind", "device-built", "--json", *at).data["events"][0]
    done("note", "void", kept["id"], "--why", "never built", *at)
    seen = run("audit", *at)
    assert seen.code == 1
    assert "never built" in seen.out


@pytest.mark.skipif(sys.platform == "win32", reason="no kill -9 there")
def test_killed_while_writing_leaves_all_or_nothing(line: str) -> None:
    """The writer is killed at a different moment each time; the record is whole after each."""
    code = (
        "import sys; from tendline.cli.main import main;"
        "sys.argv = ['tendline', 'note', 'check', 'N3', '--fine', '--line', sys.argv[1]]; main()"
    )
    counts = []
    for wait_ms in (60, 120, 180, 240, 300, 360):
        child = subprocess.Popen(
            [sys.executable, "-c", code, line], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        try:
            child.wait(wait_ms / 1000)
        except subprocess.TimeoutExpired:
            os.kill(child.pid, signal.SIGKILL)
            child.wait()
        seen = run("audit", "--line", line, "--json")
        assert seen.code == 0, seen.err
        counts.append(seen.data["events"])
    assert counts == sorted(counts)


def test_help_and_unknown_words(line: str) -> None:
    assert "bring" in run("--help").out
    assert run("nonsense").code == 2
    assert run("note", "check", "--line", line).code == 2
    assert "tendline" in run("--version").out
