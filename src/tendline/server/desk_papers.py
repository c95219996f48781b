"""Owns what the desk page asks of papers and files for others: the kinds, what is kept, one file.

Does not own the answers (`jobs.paper_shown`, `jobs.send`, `jobs.kept_files`); making a paper is long work.
"""

from pathlib import Path
from typing import Any

from tendline.jobs.answer import Answer
from tendline.jobs.kept_files import kept_file, kept_files
from tendline.jobs.paper_shown import paper_kinds
from tendline.jobs.send import SENT, HowSent, send
from tendline.jobs.workspace import PAPERS
from tendline.server.desk_ask import Ask, Body, Here, Sent
from tendline.server.desk_fields import FLAG, STRING, TEXT, TEXTS, number, one_of

_PDF = {".pdf": "application/pdf"}
_FORMS = {
    ".gpx": "application/gpx+xml",
    ".geojson": "application/geo+json",
    ".kml": "application/vnd.google-earth.kml+xml",
    ".gpkg": "application/geopackage+sqlite3",
    ".csv": "text/csv",
    ".ics": "text/calendar",
}
_KINDS: dict[str, Any] = {
    "type": "object",
    "properties": {
        "papers": {
            "type": "array",
            "items": {
                "type": "object",
                "properties": {
                    **dict.fromkeys(("paper", "words"), STRING),
                    "options": {
                        "type": "array",
                        "items": {
                            "type": "object",
                            "properties": {
                                **dict.fromkeys(("name", "words", "sort"), STRING),
                                "needed": FLAG,
                            },
                            "additionalProperties": False,
                        },
                    },
                },
                "additionalProperties": False,
            },
        }
    },
}
_FILES: dict[str, Any] = {
    "type": "object",
    "properties": {
        "files": {
            "type": "array",
            "items": {
                "type": "object",
                "properties": {
                    "name": STRING,
                    "made_at": {"type": "string", "format": "date-time"},
                    "bytes": {"type": "integer"},
                },
                "additionalProperties": False,
            },
        }
    },
}


def _kinds(_here: Here, _body: Body) -> Answer:
    return paper_kinds()


def _papers(here: Here, _body: Body) -> Answer:
    return Answer("", {"files": kept_files(here.desk.space(), PAPERS, _PDF)})


def _paper(here: Here, body: Body) -> Sent:
    content, media_type = kept_file(here.desk.space(), PAPERS, body["name"], _PDF)
    return Sent(content, media_type, body["name"])


def _send(here: Here, body: Body) -> Answer:
    how = HowSent(
        exact=body.get("exact", False),
        grid=body.get("grid") or None,
        ahead_min=body.get("ahead_min", 120.0),
        parcels=tuple(body.get("parcels", ())),
    )
    answer = send(here.desk.space(), body["form"], how)
    data = {**answer.data, "file": Path(answer.data["file"]).name}
    return Answer(answer.text, data, warnings=answer.warnings)


def _sent(here: Here, body: Body) -> Sent:
    content, media_type = kept_file(here.desk.space(), SENT, body["name"], _FORMS)
    return Sent(content, media_type, body["name"])


PAPER_ASKS = (
    Ask("paper-kinds", "List every sort of paper with its options.", _kinds, gives=_KINDS),
    Ask("papers", "List the papers that are kept.", _papers, gives=_FILES),
    Ask("paper", "Give a paper that is kept, as PDF.", _paper, {"name": TEXT}, ("name",), None),
    Ask(
        "send",
        "Write the line, or its due board, as a file; places blurred unless asked exactly.",
        _send,
        {
            "form": one_of(*(ending[1:] for ending in _FORMS)),
            "exact": FLAG,
            "grid": TEXT,
            "ahead_min": number(0, 7 * 24 * 60),
            "parcels": TEXTS,
        },
        ("form",),
        "send",
    ),
    Ask("sent", "Give a file that was written.", _sent, {"name": TEXT}, ("name",), None),
)
