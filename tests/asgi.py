"""Asks an ASGI application in this process, as a page would: no socket is touched."""

import asyncio
from typing import Any

import httpx

from tendline.server.guard import App


class Browser:
    """One browser with the headers its page sets.

    Parameters
    ----------
    app
        What it talks to.
    base_url
        Scheme and host it believes in.
    """

    def __init__(self, app: App, *, base_url: str) -> None:
        transport = httpx.ASGITransport(app=app)
        self._client = httpx.AsyncClient(transport=transport, base_url=base_url)

    @property
    def headers(self) -> httpx.Headers:
        """What it sends with everything."""
        return self._client.headers

    def request(self, method: str, path: str, **more: Any) -> httpx.Response:
        """Ask anything."""
        return asyncio.run(self._client.request(method, path, **more))

    def get(self, path: str, **more: Any) -> httpx.Response:
        """Read."""
        return self.request("GET", path, **more)

    def post(self, path: str, **more: Any) -> httpx.Response:
        """Write."""
        return self.request("POST", path, **more)

    def put(self, path: str, **more: Any) -> httpx.Response:
        """Write a piece."""
        return self.request("PUT", path, **more)
