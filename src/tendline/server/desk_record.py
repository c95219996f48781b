"""Owns what the desk page asks of the record: its pages, and the photographs in it.

Does not own the answers (`jobs.record_page`, `jobs.pictures`) or writing (`desk_note`).
"""

from tendline.jobs.answer import Answer
from tendline.jobs.pictures import Pictures
from tendline.jobs.record_page import Index, Sought, record_page
from tendline.server.desk_ask import Ask, Body, Here, Sent
from tendline.server.desk_fields import TEXT, count

SMALL_PX, LARGE_PX = 320, 1600


def _record(here: Here, body: Body) -> Answer:
    space = here.desk.space()
    index = here.kept("record", lambda: Index(space.events()))
    sought = Sought(**{key: value for key, value in body.items() if key != "start"})
    return record_page(space, sought, start=body.get("start", 0), index=index)


def _picture(here: Here, body: Body) -> Sent:
    content = Pictures(here.desk.space()).bare(body["key"], longest_px=body.get("longest", SMALL_PX))
    return Sent(content, "image/jpeg")


RECORD = (
    Ask(
        "record",
        "Give a page of the record, newest first, with what was changed and what that replaced.",
        _record,
        {
            **dict.fromkeys(("about", "kind", "by", "first", "last", "words", "identity"), TEXT),
            "start": count(0, 10**7),
        },
        gives="record-page",
    ),
    Ask(
        "picture",
        "Give a photograph, with nothing in it but the picture.",
        _picture,
        {"key": TEXT, "longest": count(64, LARGE_PX)},
        ("key",),
        None,
    ),
)
