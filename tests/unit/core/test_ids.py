"""Event ids by RFC 9562, and short names that can be shouted."""

import uuid
from datetime import UTC, datetime

import pytest

from tendline.core.ids import MAX_NAME, is_short_name, short_name, slug, uuid7


def test_an_id_is_a_version_7_uuid_with_its_milliseconds() -> None:
    # RFC 9562, appendix A.6: 2022-02-22 14:22:22.000 -05:00 is 0x017F22E279B0 milliseconds.
    made = uuid.UUID(uuid7(datetime(2022, 2, 22, 19, 22, 22, tzinfo=UTC), bytes(8)))
    assert made.version == 7
    assert made.variant == uuid.RFC_4122
    assert made.int >> 80 == 0x017F22E279B0


def test_ids_sort_by_time() -> None:
    early = uuid7(datetime(2027, 1, 15, 5, tzinfo=UTC), b"\xff" * 8)
    late = uuid7(datetime(2027, 1, 15, 6, tzinfo=UTC), b"\x00" * 8)
    assert early < late


def test_ids_of_one_millisecond_sort_by_microsecond() -> None:
    moment = datetime(2027, 1, 15, 5, tzinfo=UTC)
    ids = [uuid7(moment.replace(microsecond=us), b"\xff" * 8) for us in (0, 1, 2, 500, 999, 1000)]
    assert ids == sorted(ids)
    assert len(set(ids)) == 6


def test_eight_random_bytes_are_needed() -> None:
    with pytest.raises(ValueError, match="eight"):
        uuid7(datetime(2027, 1, 1, tzinfo=UTC), b"few")


@pytest.mark.parametrize("name", ["N3", "mill-2", "a", "creek-gap"])
def test_what_can_be_shouted_is_a_short_name(name: str) -> None:
    assert is_short_name(name)


@pytest.mark.parametrize("name", ["", "two words", "-a", "a--b", "ä", "a" * (MAX_NAME + 1), "N3!"])
def test_what_cannot_be_shouted_is_not(name: str) -> None:
    assert not is_short_name(name)


def test_names_are_kept_when_they_are_free_and_numbered_when_not() -> None:
    assert short_name("N3", fallback="set", taken=[]) == "N3"
    assert short_name("N3", fallback="set", taken=["n3"]) == "N3-2"
    assert short_name("N3", fallback="set", taken=["n3", "n3-2"]) == "N3-3"


def test_long_and_foreign_names_become_short_ones() -> None:
    assert short_name("Old Mill, upper pond by the fence", fallback="set", taken=[]) == "old-mill"
    assert short_name("Überlauf", fallback="set", taken=[]) == "uberlauf"
    assert short_name("北の罠", fallback="set", taken=[]) == "set-1"
    assert short_name("", fallback="set", taken=["set-1"]) == "set-2"
    assert slug("Größe 3") == "groe-3" or slug("Größe 3") == "groge-3" or slug("Größe 3").startswith("gro")
