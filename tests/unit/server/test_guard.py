"""The guard: which hosts we answer to, and that nobody else's page writes or reads."""

import pytest

from tendline.server.guard import host_of


@pytest.mark.parametrize(
    ("header", "host"),
    [
        ("localhost", "localhost"),
        ("LOCALHOST:8765", "localhost"),
        ("field.local.", "field.local"),
        ("192.168.77.20:8766", "192.168.77.20"),
        ("[::1]:8765", "[::1]"),
        # Seen in a trial: a host taken with rsplit(":") let this one through as 192.168.77.20.
        ("192.168.77.20:8451@evil.test", ""),
        ("localhost:8765:1", ""),
        ("localhost:123456", ""),
        ("local host", ""),
        ("", ""),
        ("-x", ""),
        ("localhost/..", ""),
        ("localhost\u0661", ""),
    ],
)
def test_a_host_is_read_whole_or_not_at_all(header: str, host: str) -> None:
    assert host_of(header) == host
