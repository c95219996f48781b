"""Files that belong together are all there, or none of them is."""

from pathlib import Path

import pytest

from tendline.jobs.files import write_all, write_whole


def test_all_of_them_are_written(tmp_path: Path) -> None:
    one, two = tmp_path / "one", tmp_path / "two"
    write_whole(one, b"old")
    write_all({one: b"1", two: b"2"})
    assert (one.read_bytes(), two.read_bytes()) == (b"1", b"2")
    assert sorted(p.name for p in tmp_path.iterdir()) == ["one", "two"]


def test_when_one_cannot_be_written_the_others_stay_as_they_were(tmp_path: Path) -> None:
    one = tmp_path / "one"
    write_whole(one, b"old")
    with pytest.raises(OSError, match="nowhere"):
        write_all({one: b"new", tmp_path / "nowhere" / "two": b"2"})
    assert one.read_bytes() == b"old"
    assert [p.name for p in tmp_path.iterdir()] == ["one"]
