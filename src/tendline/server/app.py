"""Owns the routes of the field page and of the desk page: which job answers which address.

Does not own the jobs, the guard in front (`guard`) or the sockets (`run`).

A phone says who it is with its key in the header `Authorization`. There are no cookies: a browser sends those
by itself, also for other people's pages, and writes them to its disk long after it was told to.

Every answer of ``/api/`` is JSON and never stored by a browser. A fault is ``{"faults": [{"code", "what",
"do"}]}``; nobody outside ever sees more than that of what went wrong inside.
"""

import json
from collections.abc import Awaitable, Callable
from typing import Any

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.requests import ClientDisconnect, Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from tendline.core.errors import Damaged, TendlineError
from tendline.jobs.serve import Desk, Phone
from tendline.server.limits import MAX_MESSAGE, MAX_PIECE, MAX_SMALL, Bucket
from tendline.server.pages import INDEX, TYPES, WORKER, Pages, is_desk, suffix_of

_NO_STORE = {"cache-control": "no-store"}
Handler = Callable[[Request], Awaitable[Response]]


class Stop(Exception):
    """Ends a request with a status and one fault."""

    def __init__(self, status: int, code: str, what: str, do: str) -> None:
        self.status = status
        self.fault = {"code": code, "what": what, "do": do}
        super().__init__(what)


def make_app(desk: Desk, pages: Pages, *, ca: bytes | None = None) -> Starlette:
    """Make the application.

    Parameters
    ----------
    desk
        Answers.
    pages
        The built pages.
    ca
        The private certificate authority's own certificate, for a phone to trust; None without TLS.
    """
    routes = _Routes(desk, pages, ca)
    return Starlette(
        routes=[
            Route("/api/pair", _told(routes.pair), methods=["POST"]),
            Route("/api/me", _told(routes.me)),
            Route("/api/round", _told(routes.round)),
            Route("/api/events", _told(routes.events), methods=["POST"]),
            Route("/api/photos/{sha256}", _told(routes.photo), methods=["PUT"]),
            Route("/ca.crt", _told(routes.ca)),
            Route("/{path:path}", _told(routes.page)),
        ]
    )


class _Routes:
    """The routes of one desk."""

    def __init__(self, desk: Desk, pages: Pages, ca: bytes | None) -> None:
        self._desk, self._pages, self._ca = desk, pages, ca
        self._calls = Bucket(burst=120, per_second=10)
        self._strangers = Bucket(burst=20, per_second=0.2)

    async def page(self, request: Request) -> Response:
        """Give a file of the built pages; the worker is made here."""
        name = request.path_params["path"] or INDEX
        content = self._pages.worker if name == WORKER else self._pages.content.get(name)
        if content is None or is_desk(name):
            raise Stop(404, "", "there is nothing here.", "")
        named = "assets/" in name
        keep = "public, max-age=31536000, immutable" if named else "no-cache"
        return Response(
            content, media_type=TYPES[suffix_of(name)], headers={"cache-control": keep, "etag": self._etag()}
        )

    def _etag(self) -> str:
        return f'"{self._pages.version[:16]}"'

    async def ca(self, request: Request) -> Response:  # noqa: ARG002 - a route takes its request
        """Give the certificate that a phone is asked to trust."""
        if self._ca is None:
            raise Stop(404, "", "there is no certificate here: this is not served over TLS.", "")
        return Response(self._ca, media_type="application/x-x509-ca-cert", headers=_NO_STORE)

    async def pair(self, request: Request) -> Response:
        """Use up a pairing word: the phone gets its key, this once."""
        if not self._strangers.take(_address(request)):
            raise Stop(429, "", "too many tries.", "Wait a minute.")
        asked = await _object(request)
        word, label = asked.get("word"), asked.get("label", "")
        if not isinstance(word, str) or not isinstance(label, str) or len(word) > 200:
            raise Stop(400, "", "no pairing word.", "Scan the code again.")
        paired = await run_in_threadpool(self._desk.pair, word, label)
        if paired is None:
            do = "Show a new code on the machine, and scan it within five minutes."
            raise Stop(403, "", "this code was used already, or its time is over.", do)
        phone, key = paired
        return JSONResponse({"via": phone.via, "person": phone.person, "key": key}, headers=_NO_STORE)

    async def me(self, request: Request) -> Response:
        """Say who the phone is, to itself."""
        phone = await self._phone(request)
        return JSONResponse({"via": phone.via, "person": phone.person}, headers=_NO_STORE)

    async def round(self, request: Request) -> Response:
        """Give the round to take along."""
        phone = await self._phone(request)
        carried = await run_in_threadpool(self._desk.carried, phone.person)
        return JSONResponse(carried, headers=_NO_STORE)

    async def events(self, request: Request) -> Response:
        """Take in a message; what is acknowledged is on the disk."""
        phone = await self._phone(request)
        content = await _body(request, MAX_MESSAGE)
        return JSONResponse(await run_in_threadpool(self._desk.take, phone, content), headers=_NO_STORE)

    async def photo(self, request: Request) -> Response:
        """Keep a piece of a photo; the phone goes on from where the answer says."""
        phone = await self._phone(request)
        try:
            start, total = (int(request.query_params[key]) for key in ("from", "of"))
        except (KeyError, ValueError):
            raise Stop(400, "", "where the piece begins is not said.", "") from None
        piece = await _body(request, MAX_PIECE, kind="application/octet-stream")
        have = await run_in_threadpool(
            self._desk.keep_photo, phone, request.path_params["sha256"], start=start, total=total, piece=piece
        )
        return JSONResponse({"have": have}, headers=_NO_STORE)

    async def _phone(self, request: Request) -> Phone:
        kind, _, key = request.headers.get("authorization", "").partition(" ")
        key = key if kind == "Bearer" else ""
        phone = await run_in_threadpool(self._desk.phone_with, key) if key else None
        if phone is None:
            if not self._strangers.take(_address(request)):
                raise Stop(429, "", "too many tries.", "Wait a minute.")
            do = "Scan the code on the machine. What is written down stays on the phone until it is sent."
            raise Stop(401, "", "this phone is not paired, or no longer.", do)
        if not self._calls.take(phone.via):
            raise Stop(429, "", "too many calls.", "Wait a moment.")
        return phone


def _told(handler: Handler) -> Handler:
    """Turn what went wrong into an answer; never more than a person is meant to see."""

    async def answering(request: Request) -> Response:
        try:
            return await handler(request)
        except Stop as stop:
            return JSONResponse({"faults": [stop.fault]}, status_code=stop.status, headers=_NO_STORE)
        except ClientDisconnect:
            return Response(status_code=400)
        except TendlineError as problem:
            faults = [{"code": f.code.id, "what": f.what, "do": f.do} for f in problem.faults]
            status = 503 if isinstance(problem, Damaged) or faults[0]["code"].startswith("LOG-4") else 400
            return JSONResponse({"faults": faults}, status_code=status, headers=_NO_STORE)

    return answering


async def _body(request: Request, most: int, *, kind: str = "application/json") -> bytes:
    if request.headers.get("content-type", "") != kind:
        raise Stop(415, "", f"not {kind}.", "")
    content = bytearray()
    async for piece in request.stream():
        content += piece
        if len(content) > most:
            raise Stop(413, "", "too much at once.", "Send it in parts.")
    return bytes(content)


async def _object(request: Request) -> dict[str, Any]:
    try:
        found = json.loads(await _body(request, MAX_SMALL))
    except (ValueError, RecursionError):
        raise Stop(400, "", "not JSON.", "") from None
    if not isinstance(found, dict):
        raise Stop(400, "", "not an object.", "")
    return found


def _address(request: Request) -> str:
    return request.client.host if request.client is not None else "nobody"
