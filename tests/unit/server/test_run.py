"""Addresses: private ones only, free ones only; the pairing word stands where no server sees it."""

import socket
from pathlib import Path
from typing import Any
from unittest.mock import patch
from urllib.parse import urlsplit

import pytest

from tendline.core.errors import Refused
from tendline.jobs.round import Asked
from tendline.jobs.serve import Desk
from tendline.server import run
from tendline.server.run import LOOPBACK, Address, Running, addresses, code_text, pairing_url
from tests.journeys.run import done


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    from tendline.jobs.serve import open_desk

    done("start", str(tmp_path / "line"), "--zone", "UTC")
    return open_desk(str(tmp_path / "line"), at=None, units=None, asked=Asked())


def test_alone_it_is_on_this_machine_only(desk: Desk) -> None:
    (address,) = addresses(desk, port=8765, lan=False, name="")
    assert (address.bind, address.keys, address.url) == ("127.0.0.1", None, "http://localhost:8765/")
    assert not (desk.folder / "keys").exists()


def test_on_the_network_it_has_a_private_name_and_a_certificate(desk: Desk) -> None:
    with patch.object(run, "own_address", lambda: "192.168.77.20"):
        _, address = addresses(desk, port=8765, lan=True, name="Field.Local")
    assert address.hosts == ("field.local", "192.168.77.20")
    assert address.url == "https://field.local:8766/"
    assert address.keys is not None


@pytest.mark.parametrize(("name", "own"), [("", ""), ("shop.example", "10.0.0.1"), ("", "8.8.8.8")])
def test_a_public_name_or_none_is_refused(desk: Desk, name: str, own: str) -> None:
    with patch.object(run, "own_address", lambda: own), pytest.raises(Refused) as caught:
        addresses(desk, port=8765, lan=True, name=name)
    assert caught.value.faults[0].code.id == "SRV-102"


def test_a_port_in_use_is_told(desk: Desk) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        with pytest.raises(Refused) as caught:
            Running(desk, [Address("127.0.0.1", taken.getsockname()[1], LOOPBACK)])
    assert caught.value.faults[0].code.id == "SRV-102"


def test_the_word_is_in_the_fragment(desk: Desk) -> None:
    """RFC 3986, section 3.5: a fragment is not part of what is asked of a server."""
    url = pairing_url(Address("127.0.0.1", 1, LOOPBACK), desk.offer().word)
    parts: Any = urlsplit(url)
    assert parts.fragment.startswith("pair=")
    assert (parts.query, parts.path) == ("", "/")
    assert len(parts.fragment) >= len("pair=") + 22  # 128 bits, six to a letter
    assert "█" in code_text(url) or "▀" in code_text(url)
