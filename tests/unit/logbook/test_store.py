"""The database: whole or not at all, append only, and clear words when it cannot."""

import sqlite3
from datetime import timedelta
from pathlib import Path

import pytest

from tendline.core.errors import Damaged, Refused
from tendline.logbook.audit import check_chains, ledger, untagged_sets
from tendline.logbook.events import instant_text
from tendline.logbook.fold import line_at
from tendline.logbook.migrations import STEPS, applied
from tendline.logbook.store import SourceFile, Store
from tests.unit.logbook.made import FINE, MONDAY, Book

NOW = instant_text(MONDAY)


def new(folder: Path) -> Store:
    return Store(folder / "logbook.db", now_text=NOW, create=True)


def filled(folder: Path) -> Path:
    book = Book()
    with new(folder) as store, store.transaction():
        store.append(
            [
                book.draft("device-built", {"tag": "101"}),
                book.draft("set-made", {"set": "N3", "tag": "101"}, place=(-78.0, 41.5)),
                book.draft(
                    "check",
                    {"set": "N3", **FINE, "note": "Überall Spuren – 狐"},
                    at=MONDAY + timedelta(hours=1),
                ),
            ]
        )
    return folder / "logbook.db"


def test_what_is_written_is_read_back(tmp_path: Path) -> None:
    filled(tmp_path)
    with new(tmp_path) as store:
        events = store.events()
        assert [e.kind for e in events] == ["device-built", "set-made", "check"]
        assert events[2].body["note"] == "Überall Spuren – 狐"
        assert events[1].fix is not None
        assert events[1].fix.place.lon == -78.0
        assert check_chains(store.raw_rows()).faults == ()
        assert store.integrity() == []


def test_long_records_are_read_in_batches_and_what_was_changed_apart(tmp_path: Path) -> None:
    book = Book()
    with new(tmp_path) as store, store.transaction():
        first = book.draft("device-built", {"tag": "101"})
        wrong = book.draft("device-built", {"tag": "102"})
        change = book.draft("correction", {"of": wrong.id, "fields": {"tag": "103"}, "why": "misread"})
        undone = book.draft("void", {"of": change.id, "why": "was right"})
        more = [book.draft("device-built", {"tag": str(200 + n)}) for n in range(4)]
        store.append([first, wrong, change, undone, *more])
    with new(tmp_path) as store:
        batches = list(store.plain_rows(["device-built"], size=2))
        assert [len(batch) for batch in batches] == [2, 2, 1]
        assert [row[1] for batch in batches for row in batch] == [first.id, *(d.id for d in more)]
        assert batches[0][0][2:] == ("device-built", NOW, '{"tag":"101"}')
        assert [e.id for e in store.changed()] == [wrong.id, change.id, undone.id]
        assert list(store.plain_rows(["check"])) == []


def test_a_transaction_that_fails_leaves_nothing(tmp_path: Path) -> None:
    book = Book()
    twice = [book.draft("device-built", {"tag": "103"})] * 2
    with new(tmp_path) as store:
        with pytest.raises(sqlite3.IntegrityError), store.transaction():
            store.append([book.draft("device-built", {"tag": "101"})])
            store.append([book.draft("device-built", {"tag": "102"}), *twice])
        assert store.events() == ()


def test_an_event_can_be_neither_altered_nor_removed(tmp_path: Path) -> None:
    path = filled(tmp_path)
    raw = sqlite3.connect(path)
    with pytest.raises(sqlite3.IntegrityError, match="never altered"):
        raw.execute("UPDATE events SET by = 'someone'")
    with pytest.raises(sqlite3.IntegrityError, match="never removed"):
        raw.execute("DELETE FROM events")
    raw.close()


def test_an_event_altered_behind_the_back_is_named(tmp_path: Path) -> None:
    path = filled(tmp_path)
    raw = sqlite3.connect(path, isolation_level=None)
    raw.execute("DROP TRIGGER events_are_not_altered")
    raw.execute("UPDATE events SET happened_at = ? WHERE kind = 'check'", (instant_text(MONDAY),))
    raw.close()
    with new(tmp_path) as store:
        report = check_chains(store.raw_rows())
    assert [f.code.id for f in report.faults] == ["LOG-502"]
    assert "altered" in report.faults[0].what
    assert report.whole == 2


def test_an_event_taken_out_of_the_middle_is_noticed(tmp_path: Path) -> None:
    path = filled(tmp_path)
    raw = sqlite3.connect(path, isolation_level=None)
    raw.execute("DROP TRIGGER events_are_not_removed")
    raw.execute("DELETE FROM events WHERE kind = 'set-made'")
    raw.close()
    with new(tmp_path) as store:
        report = check_chains(store.raw_rows())
    assert [f.code.id for f in report.faults] == ["LOG-502"]
    assert "missing" in report.faults[0].what


def test_an_event_that_cannot_be_read_is_named_and_the_rest_is_read(tmp_path: Path) -> None:
    path = filled(tmp_path)
    raw = sqlite3.connect(path, isolation_level=None)
    raw.execute("DROP TRIGGER events_are_not_altered")
    raw.execute("UPDATE events SET body = '{' WHERE kind = 'set-made'")
    raw.close()
    with new(tmp_path) as store:
        report = check_chains(store.raw_rows())
        with pytest.raises(Damaged) as caught:
            store.events()
    assert caught.value.faults[0].code.id == "LOG-503"
    assert [f.code.id for f in report.faults] == ["LOG-503"]
    assert report.whole == 2


def test_a_file_that_is_no_database_is_damage(tmp_path: Path) -> None:
    (tmp_path / "logbook.db").write_bytes(b"this is not a database, it is a note" * 100)
    with pytest.raises(Damaged) as caught:
        new(tmp_path)
    assert caught.value.faults[0].code.id == "LOG-501"


def test_a_missing_logbook_is_not_made_in_passing(tmp_path: Path) -> None:
    with pytest.raises(Refused) as caught:
        Store(tmp_path / "logbook.db", now_text=NOW)
    assert caught.value.faults[0].code.id == "LOG-403"
    assert not (tmp_path / "logbook.db").exists()


def test_a_logbook_of_a_newer_tendline_is_refused(tmp_path: Path) -> None:
    path = filled(tmp_path)
    raw = sqlite3.connect(path, isolation_level=None)
    raw.execute("INSERT INTO migrations VALUES ('9999 from the future', 'later')")
    raw.close()
    with pytest.raises(Refused) as caught:
        Store(path, now_text=NOW)
    assert caught.value.faults[0].code.id == "LOG-404"


def test_each_migration_is_run_once_and_recorded(tmp_path: Path) -> None:
    path = filled(tmp_path)
    Store(path, now_text=NOW).__exit__()
    raw = sqlite3.connect(path)
    assert applied(raw) == tuple(STEPS)
    raw.close()


def test_a_full_disk_is_told_and_nothing_is_written(tmp_path: Path) -> None:
    book = Book()
    with new(tmp_path) as store:
        store._db.execute("PRAGMA max_page_count = 16")
        big = {"tag": "101", "note": "x" * 3900}
        with pytest.raises(Refused) as caught, store.transaction():
            store.append([book.draft("device-built", {**big, "tag": str(i)}) for i in range(100)])
        assert caught.value.faults[0].code.id == "LOG-401"
        assert store.events() == ()


def test_a_second_writer_waits_and_is_then_told(tmp_path: Path) -> None:
    filled(tmp_path)
    with new(tmp_path) as one, new(tmp_path) as two, one.transaction():
        two._db.execute("PRAGMA busy_timeout = 50")
        with pytest.raises(Refused) as caught, two.transaction():
            pass
    assert caught.value.faults[0].code.id == "LOG-402"


def test_files_brought_in_are_listed_once_by_their_bytes(tmp_path: Path) -> None:
    source = SourceFile("ab" * 32, "line.gpx", "gpx", NOW, "abab-line.gpx", {"as": "set"})
    with new(tmp_path) as store:
        for _ in range(2):
            with store.transaction():
                store.add_source(source)
        assert store.sources() == (source,)


def test_chains_run_apart_for_each_machine(tmp_path: Path) -> None:
    desk, phone = Book("desk-1"), Book("phone-1", first=100)
    with new(tmp_path) as store:
        with store.transaction():
            store.append(
                [desk.draft("device-built", {"tag": "1"}), phone.draft("device-built", {"tag": "2"})]
            )
        with store.transaction():
            store.append([desk.draft("device-built", {"tag": "3"})])
        report = check_chains(store.raw_rows())
    assert report.faults == ()
    assert report.chains == {"desk-1": 2, "phone-1": 1}


def test_the_ledger_counts_every_device_once() -> None:
    book = Book()
    book.made("N3", "101")
    book.note("device-built", {"tag": "102"})
    book.note("set-made", {"set": "N4"}, place=(-78.0, 41.5))
    line = line_at(book.events, at=MONDAY + timedelta(days=1))
    assert {state.value: count for state, count in ledger(line).items()} == {
        "in stock": 1,
        "in the field": 1,
        "lost": 0,
        "scrapped": 0,
    }
    assert untagged_sets(line) == ("N4",)
