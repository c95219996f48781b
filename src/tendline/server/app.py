"""Owns the routes of the field page and of the desk page: which job answers which address.

Does not own the jobs, the guard in front (`guard`) or the sockets (`run`).

A phone says who it is with its key in the header `Authorization`. There are no cookies: a browser sends those
by itself, also for other people's pages, and writes them to its disk long after it was told to.

Every answer of ``/api/`` is JSON and never stored by a browser. A fault is ``{"faults": [{"code", "what",
"where", "do"}]}``; nobody outside ever sees more than that of what went wrong inside.
"""

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from tendline.jobs.file_pieces import SORTS
from tendline.jobs.serve import Desk
from tendline.server.answering import NO_STORE, Handler, Stop, body_of, object_of, told
from tendline.server.callers import Callers
from tendline.server.desk import desk_routes
from tendline.server.desk_ask import Here
from tendline.server.desk_import import file_routes
from tendline.server.limits import MAX_MESSAGE, MAX_PIECE
from tendline.server.pages import DESK, INDEX, TYPES, WORKER, Pages, suffix_of
from tendline.server.works import Works


def make_app(desk: Desk, pages: Pages, *, ca: bytes | None = None, here: Here | None = None) -> Starlette:
    """Make the application.

    Parameters
    ----------
    desk
        Answers.
    pages
        The built pages.
    ca
        The private certificate authority's own certificate, for a phone to trust; None without TLS.
    here
        What the desk page stands on.
    """
    callers = Callers(desk)
    routes = _Routes(desk, pages, ca, callers)
    here = here or Here(desk, Works(), "")
    return Starlette(
        routes=[
            Route("/api/pair", told(routes.pair), methods=["POST"]),
            Route("/api/me", told(routes.me)),
            Route("/api/round", told(routes.round)),
            Route("/api/events", told(routes.events), methods=["POST"]),
            *(Route(f"/api/{sort}/{{sha256}}", told(routes.file(sort)), methods=["PUT"]) for sort in SORTS),
            *desk_routes(here, callers),
            *file_routes(here, callers),
            Route("/ca.crt", told(routes.ca)),
            Route("/{path:path}", told(routes.page)),
        ]
    )


_FILES = {"": INDEX, "desk": DESK}


class _Routes:
    """The routes of one desk."""

    def __init__(self, desk: Desk, pages: Pages, ca: bytes | None, callers: Callers) -> None:
        self._desk, self._pages, self._ca, self._callers = desk, pages, ca, callers

    async def page(self, request: Request) -> Response:
        """Give a file of the built pages; the worker is made here."""
        name = _FILES.get(request.path_params["path"], request.path_params["path"])
        content = self._pages.worker if name == WORKER else self._pages.content.get(name)
        if content is None:
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
        return Response(self._ca, media_type="application/x-x509-ca-cert", headers=NO_STORE)

    async def pair(self, request: Request) -> Response:
        """Use up a pairing word: the phone gets its key, this once."""
        self._callers.stranger(request)
        asked = await object_of(request)
        word, label = asked.get("word"), asked.get("label", "")
        if not isinstance(word, str) or not isinstance(label, str) or len(word) > 200:
            raise Stop(400, "", "no pairing word.", "Scan the code again.")
        paired = await run_in_threadpool(self._desk.pair, word, label)
        if paired is None:
            do = "Show a new code on the machine, and scan it within five minutes."
            raise Stop(403, "", "this code was used already, or its time is over.", do)
        phone, key = paired
        return JSONResponse({"via": phone.via, "person": phone.person, "key": key}, headers=NO_STORE)

    async def me(self, request: Request) -> Response:
        """Say who the phone is, to itself."""
        phone = await self._callers.phone(request)
        return JSONResponse({"via": phone.via, "person": phone.person}, headers=NO_STORE)

    async def round(self, request: Request) -> Response:
        """Give the round to take along."""
        phone = await self._callers.phone(request)
        ground = request.query_params.get("ground", "")
        carried = await run_in_threadpool(self._desk.carried, phone.person, ground=ground)
        return JSONResponse(carried, headers=NO_STORE)

    async def events(self, request: Request) -> Response:
        """Take in a message; what is acknowledged is on the disk."""
        phone = await self._callers.phone(request)
        content = await body_of(request, MAX_MESSAGE)
        return JSONResponse(await run_in_threadpool(self._desk.take, phone, content), headers=NO_STORE)

    def file(self, sort: str) -> Handler:
        """Make the route that keeps pieces of one sort of file."""

        async def keep(request: Request) -> Response:
            """Keep a piece; the phone goes on from where the answer says."""
            phone = await self._callers.phone(request)
            try:
                start, total = (int(request.query_params[key]) for key in ("from", "of"))
            except (KeyError, ValueError):
                raise Stop(400, "", "where the piece begins is not said.", "") from None
            piece = await body_of(request, MAX_PIECE, kind="application/octet-stream")
            sha256 = request.path_params["sha256"]
            have = await run_in_threadpool(
                self._desk.keep_file, phone, sort, sha256, start=start, total=total, piece=piece
            )
            return JSONResponse({"have": have}, headers=NO_STORE)

        return keep
