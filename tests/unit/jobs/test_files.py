"""Files that belong together are all there, or none of them is; large ones are copied piece by piece."""

import hashlib
import tracemalloc
from pathlib import Path

import pytest

from tendline.ground.read_any import raster_hash
from tendline.jobs.files import copy_whole, write_all, write_whole


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


def test_a_large_raster_is_hashed_and_copied_without_being_held(tmp_path: Path) -> None:
    source, path = tmp_path / "large.tif", tmp_path / "kept.tif"
    source.write_bytes(b"II*\0" + bytes(range(256)) * (24 << 12))
    expected = hashlib.sha256(source.read_bytes()).hexdigest()
    tracemalloc.start()
    try:
        digest = raster_hash(source)
        assert digest == expected
        assert copy_whole(source, path, sha256=digest)
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert peak < source.stat().st_size / 4
    assert path.read_bytes() == source.read_bytes()
    (tmp_path / "places.csv").write_text("lon,lat\n1,2\n", encoding="utf-8")
    assert raster_hash(tmp_path / "places.csv") is None


def test_a_copy_of_something_else_or_cut_short_leaves_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    source, path = tmp_path / "one.tif", tmp_path / "kept.tif"
    source.write_bytes(b"II*\0 and more")
    assert not copy_whole(source, path, sha256="0" * 64)
    monkeypatch.setattr("os.fsync", _full)
    with pytest.raises(OSError, match="No space"):
        copy_whole(source, path, sha256=hashlib.sha256(source.read_bytes()).hexdigest())
    assert [one.name for one in tmp_path.iterdir()] == ["one.tif"]


def _full(_: int) -> None:
    raise OSError(28, "No space left on device")
