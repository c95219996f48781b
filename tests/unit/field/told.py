"""Messages of a phone made by hand; invented line, invented people."""

import json
from datetime import timedelta
from typing import Any

from tendline.core.ids import uuid7
from tendline.field.wire import Told, read_entry
from tests.unit.logbook.made import FINE, MONDAY

PHONE = "phone-00c0ffee"


def entry(number: int, kind: str = "check", *, hours: float = 1, **body: Any) -> dict[str, Any]:
    """One entry as a phone writes it; `number` makes its id."""
    at = (MONDAY + timedelta(hours=hours)).isoformat()
    if kind == "check":
        body = {"set": "N3", **FINE, **body}
    return {
        "id": uuid7(MONDAY, (1000 + number).to_bytes(8, "big")),
        "kind": kind,
        "version": 1,
        "happened_at": at,
        "recorded_at": at,
        "by": "Ann",
        "place": None,
        "body": body,
    }


def told(number: int, kind: str = "check", *, hours: float = 1, **body: Any) -> Told:
    """The same, read."""
    return read_entry(entry(number, kind, hours=hours, **body), via=PHONE)


def message(*entries: Any, **more: Any) -> bytes:
    """A message as it goes over the air."""
    whole = {
        "tendline": "phone-events",
        "version": 1,
        "via": PHONE,
        "sent_at": MONDAY.isoformat(),
        "app": "1",
        "events": list(entries),
        **more,
    }
    return json.dumps(whole).encode()
