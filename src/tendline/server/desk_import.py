"""Owns what the desk page asks about files to bring in: hold them, look at them, take them, let them go.

Does not own holding them (`uploads`), reading or taking them (`jobs.bring_look`, `jobs.bring`).
"""

from collections.abc import Mapping
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from tendline.jobs.answer import Answer
from tendline.jobs.bring import bring
from tendline.jobs.bring_look import look_at_files
from tendline.server.answering import NO_STORE, Stop, told
from tendline.server.callers import Callers
from tendline.server.desk_ask import Ask, Body, Here
from tendline.server.desk_fields import TEXT, one_of

_ASKED: Mapping[str, Any] = {
    "batch": TEXT,
    "as": one_of("set", "parking", "landmark", "parcel", "spot"),
    "elevation_unit": one_of("m", "ft", "us-ft"),
    "made": TEXT,
}


def file_routes(here: Here, callers: Callers) -> list[Route]:
    """Give the route by which a file comes."""

    async def take(request: Request) -> Response:
        await callers.at_desk(request)
        if request.headers.get("content-type", "") != "application/octet-stream":
            raise Stop(415, "", "not application/octet-stream.", "")
        folder = (await run_in_threadpool(here.desk.space)).folder
        batch = request.query_params.get("batch") or here.uploads.begin(folder)
        kept = await here.uploads.keep(batch, request.query_params.get("name", ""), request.stream())
        data = {"answer": {"batch": batch, **kept}, "bad_news": False, "warnings": []}
        return JSONResponse(data, headers=NO_STORE)

    return [Route("/api/desk-files/bring", told(take), methods=["POST"])]


def _said(body: Body) -> dict[str, Any]:
    return {
        "default_kind": body.get("as"),
        "elevation_unit": body.get("elevation_unit"),
        "made": body.get("made") or None,
    }


def _look(here: Here, body: Body) -> Answer:
    return look_at_files(here.desk.space(), here.uploads.files(body["batch"]), **_said(body))


def _take(here: Here, body: Body) -> Answer:
    answer = bring(here.desk.space(), here.uploads.files(body["batch"]), **_said(body))
    here.uploads.let_go(body["batch"])
    return answer


def _let_go(here: Here, body: Body) -> Answer:
    here.uploads.let_go(body["batch"])
    return Answer("", {})


IMPORT = (
    Ask(
        "bring-look",
        "Look at the files handed over: every fault, and all that would be taken. Nothing is written.",
        _look,
        _ASKED,
        ("batch",),
        "bring-look",
    ),
    Ask("bring-take", "Take the files handed over, all or none.", _take, _ASKED, ("batch",), "bring"),
    Ask("bring-drop", "Throw away the files handed over.", _let_go, {"batch": TEXT}, ("batch",)),
)
