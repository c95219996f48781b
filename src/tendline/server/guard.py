"""Owns the guard in front of every route: which host, origin and method, and the headers of all answers.

Does not own who the caller is (`app`) or how often they may call (`limits`).

A page of somebody else's, in the same browser, must neither write nor read anything: the Host must be one of
ours (against names rebound to our address), and whatever may write must come from our own page, say so in
`Origin` and `Sec-Fetch-Site`, and carry a header that no form and no simple request can set.
"""

import re
from collections.abc import Awaitable, Callable, Collection, MutableMapping
from typing import Any

Scope = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[MutableMapping[str, Any]]]
Send = Callable[[MutableMapping[str, Any]], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

HEADER = b"x-tendline"
"""Header that our own page sets on everything that may write."""

CONTENT_POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' blob: data:",
        "media-src 'self' blob:",
        "connect-src 'self'",
        "worker-src 'self'",
        "manifest-src 'self'",
        "base-uri 'none'",
        "form-action 'none'",
        "frame-ancestors 'none'",
    )
)
"""No third party, no inline script, no frame."""

_HEADERS = (
    (b"content-security-policy", CONTENT_POLICY.encode()),
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"permissions-policy", b"geolocation=(self), microphone=(self), camera=(self)"),
)
_HOST = re.compile(
    r"(\[[0-9A-Fa-f:.]+\]|[A-Za-z0-9](?:[A-Za-z0-9.-]*[A-Za-z0-9])?)\.?(?::([0-9]{1,5}))?", re.ASCII
)
_SAFE = frozenset({"GET", "HEAD"})
_OURS = frozenset({"same-origin", "none"})


def host_of(header: str) -> str:
    """Give the host of a Host header in lower case, without its port; empty when it is none.

    The whole header must be a host: a name smuggled in behind the port makes it none.
    """
    found = _HOST.fullmatch(header)
    return found.group(1).lower() if found else ""


class Guard:
    """Stands in front of an application.

    Parameters
    ----------
    app
        What it guards.
    hosts
        Names and addresses we answer to, in lower case, without ports.
    """

    def __init__(self, app: App, hosts: Collection[str]) -> None:
        self._app = app
        self._hosts = frozenset(hosts)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request, or hand it on."""
        if scope["type"] != "http":
            if scope["type"] == "lifespan":
                await self._app(scope, receive, send)
            return
        refused = self._refused(scope)
        guarded = _with_headers(send)
        if refused is None:
            await self._app(scope, receive, guarded)
            return
        status, why = refused
        await guarded(
            {
                "type": "http.response.start",
                "status": status,
                "headers": [(b"content-type", b"text/plain; charset=utf-8"), (b"cache-control", b"no-store")],
            }
        )
        await guarded({"type": "http.response.body", "body": why.encode()})

    def _refused(self, scope: Scope) -> tuple[int, str] | None:
        hosts = [value for name, value in scope["headers"] if name == b"host"]
        headers: dict[bytes, bytes] = dict(scope["headers"])
        host = headers.get(b"host", b"").decode("latin-1")
        if len(hosts) != 1 or host_of(host) not in self._hosts:
            return 421, "not the name of this machine"
        site = headers.get(b"sec-fetch-site", b"").decode("latin-1")
        if scope["method"] in _SAFE:
            return self._refused_read(scope, headers, site)
        if scope["method"] not in ("POST", "PUT"):
            return 405, "not a method of this page"
        own = f"{scope['scheme']}://{host}".lower()
        ours = headers.get(b"origin", b"").decode("latin-1").lower() == own and site in ("", *_OURS)
        return None if ours and HEADER in headers else (403, "not from this page")

    @staticmethod
    def _refused_read(scope: Scope, headers: dict[bytes, bytes], site: str) -> tuple[int, str] | None:
        """Let other sites link to the page, and read nothing."""
        navigates = headers.get(b"sec-fetch-mode") == b"navigate"
        if site and site not in _OURS and not (navigates and not scope["path"].startswith("/api/")):
            return 403, "not from this page"
        return None


def _with_headers(send: Send) -> Send:
    async def sending(message: MutableMapping[str, Any]) -> None:
        if message["type"] == "http.response.start":
            message["headers"] = [*message.get("headers", ()), *_HEADERS]
        await send(message)

    return sending
