"""Owns the long work of the desk page: each in a process of its own, told how far it is, stopped when asked.

Does not own what the work is (`works_list`). A process, not a thread: no search may hold up the page.
"""

import itertools
import multiprocessing
import threading
from collections.abc import Mapping
from dataclasses import dataclass, field
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from typing import Any

from tendline.core.errors import refuse
from tendline.server.faults import NO_WORK, TOO_MUCH_WORK, WORK_ENDED
from tendline.server.works_run import Place, run

_SPAWN = multiprocessing.get_context("spawn")
_AT_ONCE, _WAITING, _REMEMBERED = 2, 20, 40
_PATIENCE_S = 30.0
"""How long a stopped work may take to hand over its best answer [s]."""


@dataclass
class Work:
    """One long work, from being asked to its answer."""

    id: str
    job: str
    asked: Mapping[str, Any]
    state: str = "waiting"
    told: str = ""
    answer: Any = None
    bad_news: bool = False
    warnings: list[str] = field(default_factory=list)
    faults: list[dict[str, str]] = field(default_factory=list)
    stopping: bool = False

    def data(self, *, whole: bool) -> dict[str, Any]:
        """Give it as JSON can hold it; the answer only when asked for the whole."""
        brief = {"id": self.id, "job": self.job, "state": self.state, "told": self.told}
        found = {**brief, "stopping": self.stopping, "bad_news": self.bad_news, "faults": self.faults}
        if not whole:
            return found
        return {**found, "asked": self.asked, "answer": self.answer, "warnings": self.warnings}


class Works:
    """All long work of one server; two at a time, the others wait their turn."""

    def __init__(self) -> None:
        self._works: dict[str, Work] = {}
        self._numbers = itertools.count(1)
        self._lock = threading.Lock()
        self._turn = threading.Semaphore(_AT_ONCE)
        self._stops: dict[str, Any] = {}
        self._processes: dict[str, BaseProcess] = {}
        self._closed = False

    def begin(self, place: Place, job: str, asked: Mapping[str, Any]) -> Work:
        """Ask for a work; it begins when it is its turn.

        Raises
        ------
        Refused
            SRV-108 when twenty wait already.
        """
        with self._lock:
            if sum(w.state in ("waiting", "running") for w in self._works.values()) >= _WAITING:
                do = "Stop one of them, or wait for it."
                raise refuse(TOO_MUCH_WORK, f"{_WAITING} pieces of work are asked for.", job, do)
            work = Work(f"work-{next(self._numbers)}", job, dict(asked))
            self._works[work.id] = work
            self._stops[work.id] = _SPAWN.Event()
            self._forget()
        threading.Thread(target=self._do, args=(place, work), daemon=True).start()
        return work

    def state(self, name: str) -> Work:
        """Give one work.

        Raises
        ------
        Refused
            SRV-106.
        """
        work = self._works.get(name)
        if work is None:
            do = "It was asked for before tendline was started again: ask for it anew."
            raise refuse(NO_WORK, f"'{name}' is not known.", name, do)
        return work

    def all(self) -> list[Work]:
        """Give every work remembered, newest first."""
        return list(reversed(self._works.values()))

    def stop(self, name: str) -> Work:
        """Ask a work to end with the best answer it has.

        Raises
        ------
        Refused
            SRV-106.
        """
        work = self.state(name)
        work.stopping = True
        self._stops[name].set()
        return work

    def close(self) -> None:
        """End everything now; nothing is kept of it."""
        self._closed = True
        with self._lock:
            for process in self._processes.values():
                process.terminate()

    def _forget(self) -> None:
        ended = [w.id for w in self._works.values() if w.state not in ("waiting", "running")]
        for name in ended[: max(0, len(self._works) - _REMEMBERED)]:
            del self._works[name], self._stops[name]

    def _do(self, place: Place, work: Work) -> None:
        with self._turn:
            if self._closed or self._stops[work.id].is_set():
                work.state = "stopped"
                return
            ours, theirs = _SPAWN.Pipe(duplex=False)
            process = _SPAWN.Process(
                target=run, args=(theirs, self._stops[work.id], place, work.job, work.asked), daemon=True
            )
            with self._lock:
                work.state = "running"
                process.start()
                self._processes[work.id] = process
            theirs.close()
            try:
                self._listen(ours, work)
            finally:
                process.join(1.0)
                process.terminate()
                with self._lock:
                    del self._processes[work.id]

    def _listen(self, ours: Connection, work: Work) -> None:
        waited = 0.0
        while True:
            if not ours.poll(0.5):
                waited += 0.5 if work.stopping else 0.0
                if waited >= _PATIENCE_S or self._closed:
                    work.state = "stopped"
                    return
                continue
            try:
                kind, content = ours.recv()
            except EOFError:
                what = "it ended before it was done."
                work.faults = [{"code": WORK_ENDED.id, "what": what, "where": "", "do": "Ask for it again."}]
                work.state = "failed"
                return
            if kind == "told":
                work.told = content
                continue
            if kind == "faults":
                work.faults, work.state = content, "failed"
            else:
                work.answer, work.bad_news, work.warnings = content
                work.state = "done"
            return
