"""Owns the running server: addresses, sockets, the pairing code in the terminal, a clean stop.

Does not own the routes (`app`) or the certificates (`authority`).
"""

import asyncio
import io
import socket
import ssl
import threading
from collections.abc import Callable
from dataclasses import dataclass

import segno
import uvicorn

from tendline.core.errors import refuse
from tendline.jobs.serve import Desk
from tendline.server.app import make_app
from tendline.server.authority import Keys, keys_for, may_vouch_for
from tendline.server.desk_ask import Here
from tendline.server.desk_tonight import warm
from tendline.server.faults import NO_ADDRESS
from tendline.server.guard import Guard
from tendline.server.limits import MAX_MESSAGE
from tendline.server.pages import load_pages
from tendline.server.works import Works

PORT = 8765
LOOPBACK = ("localhost", "127.0.0.1", "[::1]")
"""Names of this machine to itself."""
_GRACE_S = 3


@dataclass(frozen=True)
class Address:
    """Where the page is served.

    Parameters
    ----------
    bind, port
        What to listen on.
    hosts
        Names and addresses people reach it by; the first one is shown.
    keys
        Certificates; None without TLS.
    """

    bind: str
    port: int
    hosts: tuple[str, ...]
    keys: Keys | None = None

    @property
    def url(self) -> str:
        """The address to show."""
        scheme = "http" if self.keys is None else "https"
        return f"{scheme}://{self.hosts[0]}:{self.port}/"


def addresses(desk: Desk, *, port: int, lan: bool, name: str) -> list[Address]:
    """Give where to serve: on loopback, and on the local network when asked.

    Parameters
    ----------
    desk
        For the present, and the folder that keeps the certificates.
    port
        On loopback; the next one on the local network.
    lan
        Also on the local network, over TLS.
    name
        A stable name of this machine there; its address when empty.

    Raises
    ------
    Refused
        SRV-102 when there is no private address, or the name is not a private one.
    """
    found = [Address("127.0.0.1", port, LOOPBACK)]
    if lan:
        own = own_address()
        hosts = tuple(host for host in (name.lower(), own) if host)
        wrong = [host for host in hosts if not may_vouch_for(host)]
        if not hosts or wrong:
            what = (
                f"'{wrong[0]}' is no private address or name." if wrong else "this machine is on no network."
            )
            do = "Join the local network, or give a name such as field.local with --name."
            raise refuse(NO_ADDRESS, what, "--lan", do)
        found.append(Address("0.0.0.0", port + 1, hosts, keys_for(desk.folder, hosts, now=desk.space().now)))  # noqa: S104 - asked for with --lan
    return found


def own_address() -> str:
    """Give the address this machine has on the local network; empty when it is on none. Sends nothing."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("10.255.255.255", 9))
            found = str(probe.getsockname()[0])
        except OSError:
            return ""
    return "" if found.startswith("127.") or found == "0.0.0.0" else found  # noqa: S104 - a comparison


def code_text(url: str) -> str:
    """Draw a QR code for a terminal."""
    out = io.StringIO()
    segno.make(url, error="m", micro=False).terminal(out, compact=True, border=2)
    return out.getvalue()


def pairing_url(address: Address, word: str, *, page: str = "") -> str:
    """Give the address to scan; the word stands in the fragment, which no browser sends."""
    return f"{address.url}{page}#pair={word}"


class Running:
    """The server in threads of its own.

    Parameters
    ----------
    desk
        Answers.
    where
        Addresses to serve on.
    """

    def __init__(self, desk: Desk, where: list[Address]) -> None:
        pages = load_pages()
        ca = next((address.keys.authority for address in where if address.keys is not None), None)
        self._desk = desk
        self._here = Here(desk, Works(), where[-1].url)
        app = make_app(desk, pages, ca=ca, here=self._here)
        self._servers = [_server(Guard(app, address.hosts), address) for address in where]
        self._sockets = [_socket(address) for address in where]

    def serve(self, ready: Callable[[], None] = lambda: None) -> None:
        """Serve until `stop`, or Ctrl-C when called in the main thread."""
        try:
            asyncio.run(self._serve(ready))
        finally:
            self._here.works.close()
            self._here.uploads.close()
            self._desk.close()

    def warm(self) -> None:
        """Work out beforehand what the first view of the desk page takes long for."""
        warm(self._here)

    def stop(self) -> None:
        """Let the requests that run finish, then end."""
        for server in self._servers:
            server.should_exit = True

    async def _serve(self, ready: Callable[[], None]) -> None:
        tasks = [
            asyncio.create_task(server.serve(sockets=[one]))
            for server, one in zip(self._servers, self._sockets, strict=True)
        ]
        while not all(
            server.started or task.done() for server, task in zip(self._servers, tasks, strict=True)
        ):
            await asyncio.sleep(0.01)
        ready()
        await asyncio.wait(tasks, return_when=asyncio.FIRST_COMPLETED)
        self.stop()
        await asyncio.gather(*tasks)
        await self._hang_up()

    async def _hang_up(self) -> None:
        """Close what did not end in the time it was given."""
        for server in self._servers:
            for connection in tuple(server.server_state.connections):
                if connection.transport is not None:
                    connection.transport.abort()
        await asyncio.sleep(0)


def _server(app: Guard, address: Address) -> uvicorn.Server:
    keys = address.keys
    config = uvicorn.Config(
        app,
        log_level="warning",
        access_log=False,
        server_header=False,
        date_header=False,
        lifespan="off",
        ws="none",
        proxy_headers=False,
        timeout_graceful_shutdown=_GRACE_S,
        timeout_keep_alive=15,
        limit_concurrency=200,
        h11_max_incomplete_event_size=min(32_768, MAX_MESSAGE),
        ssl_certfile=str(keys.certificate) if keys is not None else None,
        ssl_keyfile=str(keys.key) if keys is not None else None,
        ssl_version=ssl.PROTOCOL_TLS_SERVER,
    )
    return uvicorn.Server(config)


def _socket(address: Address) -> socket.socket:
    one = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    one.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        one.bind((address.bind, address.port))
    except OSError as problem:
        one.close()
        do = "Stop what is using it, or choose another with --port."
        raise refuse(NO_ADDRESS, f"{problem.strerror}.", f"port {address.port}", do) from problem
    return one


def plan_meanwhile(desk: Desk, tell: Callable[[str], None], then: Callable[[], None]) -> threading.Thread:
    """Plan the round while the pages are served already, and work out what the first view takes long for."""

    def meanwhile() -> None:
        tell(desk.plan() or "the round is planned")
        then()

    thread = threading.Thread(target=meanwhile, daemon=True)
    thread.start()
    return thread
