"""Owns what happens inside the process of one long work: open the line, do the job, tell how it goes.

Does not own when it is begun or stopped (`works`), nor which jobs there are (`works_list`).
"""

import contextlib
import signal
import time
from collections.abc import Mapping
from dataclasses import dataclass
from multiprocessing.connection import Connection
from typing import Any, Protocol

from tendline.core.errors import TendlineError
from tendline.jobs.workspace import open_workspace
from tendline.server.faults import WORK_ENDED

_TELL_EVERY_S = 0.2


@dataclass(frozen=True)
class Place:
    """Which line is meant: its folder; moment and units, None for the present and for its own."""

    folder: str
    at: str | None
    units: str | None


class Flag(Protocol):
    """Something another process can set."""

    def is_set(self) -> bool:
        """Say whether it was."""


def run(out: Connection, stop: Flag, place: Place, job: str, asked: Mapping[str, Any]) -> None:
    """Do one work, and send what comes of it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for the server, which ends this
    told_at = 0.0

    def tell(text: str) -> None:
        nonlocal told_at
        now = time.monotonic()
        if now - told_at >= _TELL_EVERY_S:
            told_at = now
            with contextlib.suppress(OSError):
                out.send(("told", text))

    try:
        from tendline.server.works_list import LONG  # noqa: PLC0415 - the jobs load heavy packages

        space = open_workspace(place.folder, at=place.at, units=place.units)
        answer = LONG[job].does(space, asked, tell, stop.is_set)
        out.send(("done", (dict(answer.data), answer.bad_news, list(answer.warnings))))
    except TendlineError as problem:
        faults = [{"code": f.code.id, "what": f.what, "where": f.where, "do": f.do} for f in problem.faults]
        out.send(("faults", faults))
    except Exception as problem:  # told, not shown: the page has one shape of faults
        what = f"a fault of tendline itself ({type(problem).__name__})."
        out.send(("faults", [{"code": WORK_ENDED.id, "what": what, "where": job, "do": "Please report it."}]))
    finally:
        out.close()
