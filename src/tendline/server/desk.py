"""Owns the routes of the desk page: one address for each thing it may ask, and one shape of answers.

Does not own what may be asked (`desk_asks`), nor who may ask (`callers`).

An answer is ``{"answer": ..., "bad_news": ..., "warnings": [...]}``, where `answer` is the document that the
command of the same name prints with ``--json``.
"""

from collections.abc import Mapping
from urllib.parse import quote

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from tendline.server.answering import NO_STORE, Stop, object_of, told
from tendline.server.callers import Callers
from tendline.server.desk_ask import Ask, Here, Sent
from tendline.server.desk_asks import ASKS
from tendline.server.limits import MAX_ASK


def desk_routes(here: Here, callers: Callers) -> list[Route]:
    """Give the routes of the desk page."""
    asks = {ask.name: ask for ask in ASKS}

    async def answering(request: Request) -> Response:
        await callers.at_desk(request)
        ask = asks.get(request.path_params["name"])
        if ask is None:
            raise Stop(404, "", "there is no such thing to ask.", "Load the page again.")
        return await run_in_threadpool(_answered, here, ask, await object_of(request, MAX_ASK))

    return [Route("/api/desk/{name}", told(answering), methods=["POST"])]


def _answered(here: Here, ask: Ask, body: Mapping[str, object]) -> Response:
    ask.check(body)
    found = ask.does(here, body)
    if isinstance(found, Sent):
        named = f"inline; filename*=UTF-8''{quote(found.name)}" if found.name else "inline"
        headers = {**NO_STORE, "content-disposition": named}
        return Response(found.content, media_type=found.media_type, headers=headers)
    data = {"answer": found.data, "bad_news": found.bad_news, "warnings": list(found.warnings)}
    return JSONResponse(data, headers=NO_STORE)
