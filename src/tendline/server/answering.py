"""Owns the one shape of faults on the wire, and reading what a request brings within its bounds.

Does not own the routes (`app`, `desk`) or who the caller is.
"""

import json
from collections.abc import Awaitable, Callable
from typing import Any

from starlette.requests import ClientDisconnect, Request
from starlette.responses import JSONResponse, Response

from tendline.core.errors import Damaged, TendlineError
from tendline.server.limits import MAX_SMALL

NO_STORE = {"cache-control": "no-store"}
Handler = Callable[[Request], Awaitable[Response]]


class Stop(Exception):
    """Ends a request with a status and one fault."""

    def __init__(self, status: int, code: str, what: str, do: str) -> None:
        self.status = status
        self.fault = {"code": code, "what": what, "where": "", "do": do}
        super().__init__(what)


def told(handler: Handler) -> Handler:
    """Turn what went wrong into an answer; never more than a person is meant to see."""

    async def answering(request: Request) -> Response:
        try:
            return await handler(request)
        except Stop as stop:
            return JSONResponse({"faults": [stop.fault]}, status_code=stop.status, headers=NO_STORE)
        except ClientDisconnect:
            return Response(status_code=400)
        except TendlineError as problem:
            desk = request.url.path.startswith("/api/desk/")  # a phone learns nothing of folders and files
            faults = [
                {"code": f.code.id, "what": f.what, "where": f.where if desk else "", "do": f.do}
                for f in problem.faults
            ]
            status = 503 if isinstance(problem, Damaged) or faults[0]["code"].startswith("LOG-4") else 400
            return JSONResponse({"faults": faults}, status_code=status, headers=NO_STORE)

    return answering


async def body_of(request: Request, most: int, *, kind: str = "application/json") -> bytes:
    """Read the body of a request, `most` bytes of it.

    Raises
    ------
    Stop
        415 for another kind, 413 for more.
    """
    if request.headers.get("content-type", "") != kind:
        raise Stop(415, "", f"not {kind}.", "")
    content = bytearray()
    async for piece in request.stream():
        content += piece
        if len(content) > most:
            raise Stop(413, "", "too much at once.", "Send it in parts.")
    return bytes(content)


async def object_of(request: Request, most: int = MAX_SMALL) -> dict[str, Any]:
    """Read the body of a request as a JSON object.

    Raises
    ------
    Stop
        400 when it is none; as `body_of`.
    """
    try:
        found = json.loads(await body_of(request, most))
    except (ValueError, RecursionError):
        raise Stop(400, "", "not JSON.", "") from None
    if not isinstance(found, dict):
        raise Stop(400, "", "not an object.", "")
    return found


def address_of(request: Request) -> str:
    """Give the address a request came from."""
    return request.client.host if request.client is not None else "nobody"
