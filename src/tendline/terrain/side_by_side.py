"""Owns doing many pieces of work side by side: in threads of this machine, or on a cluster.

Does not own the work. The only door to dask.
"""

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from typing import Any, Generic, TypeVar

from tendline.core.errors import refuse
from tendline.terrain.faults import NO_CLUSTER

_Item = TypeVar("_Item")
_Result = TypeVar("_Result")

WAIT_S = 15
"""How long a scheduler is waited for [s]."""


def side_by_side(
    work: Callable[[_Item], _Result],
    items: Sequence[_Item],
    *,
    scheduler: str | None = None,
    threads: int = 2,
) -> list[_Result]:
    """Do one piece of work for each item.

    Parameters
    ----------
    work
        A function of a module, so that it can be sent to another machine.
    items
        What it is done for.
    scheduler
        Address of a dask scheduler (``tcp://host:8786``); threads of this process when None.
    threads
        How many at once, without a scheduler.

    Returns
    -------
    list
        The results, in the order of the items.

    Raises
    ------
    Refused
        TERR-131 when the scheduler does not answer. What the work itself refuses.
    """
    if scheduler is None:
        from dask.base import compute  # noqa: PLC0415 - only when something is scouted
        from dask.delayed import delayed  # noqa: PLC0415

        tasks = [delayed(work, pure=False)(item) for item in items]
        return list(compute(*tasks, scheduler="threads", num_workers=max(threads, 1)))  # type: ignore[no-untyped-call]
    with _client(scheduler) as client:
        # Sent apart from the work: grids are too large to be part of a graph.
        sent = client.scatter(list(items), hash=False)
        return list(client.gather(client.map(work, sent, pure=False)))


def _client(scheduler: str) -> Any:
    """Reach a scheduler."""
    from distributed import Client  # noqa: PLC0415 - heavy, and only with a cluster

    try:
        return Client(scheduler, timeout=WAIT_S)  # type: ignore[no-untyped-call]
    except (OSError, ValueError, TimeoutError) as problem:
        raise refuse(
            NO_CLUSTER,
            f"the scheduler does not answer: {type(problem).__name__}.",
            scheduler,
            "Start one and its workers, correct the address, or leave --scheduler out.",
        ) from None


class Crew(Generic[_Item]):
    """Several things of one class that work in step, each where it was made: here, or on a cluster.

    Parameters
    ----------
    kind
        The class.
    made_of
        For each, what gives the one argument it is made of; called when it is made, so that no two are held.
    scheduler, threads
        As of `side_by_side`.
    """

    def __init__(
        self,
        kind: Callable[[Any], _Item],
        made_of: Sequence[Callable[[], Any]],
        *,
        scheduler: str | None = None,
        threads: int = 2,
    ) -> None:
        self._threads = ThreadPoolExecutor(max(threads, 1))
        self._client = None if scheduler is None else _client(scheduler)
        self._members: list[Any] = []
        if self._client is None:
            self._members = [kind(make()) for make in made_of]
            return
        workers = sorted(self._client.scheduler_info()["workers"])
        if not workers:
            self._client.close()
            raise refuse(NO_CLUSTER, "the scheduler has no workers.", str(scheduler), "Start some.")
        for k, make in enumerate(made_of):
            # Neighbours lie on one worker as far as may be.
            worker = workers[k * len(workers) // len(made_of)]
            sent = self._client.scatter(make(), workers=[worker], hash=False)
            made = self._client.submit(kind, sent, actor=True, workers=[worker], pure=False)
            self._members.append(made.result())
            del sent

    def __enter__(self) -> "Crew[_Item]":
        """Work with it."""
        return self

    def __exit__(self, *_: object) -> None:
        """Let all of them go."""
        self._members.clear()
        self._threads.shutdown()
        if self._client is not None:
            self._client.close()

    def call(self, name: str, *arguments: Sequence[Any]) -> list[Any]:
        """Call a method of each, with arguments of its own; give what they give."""
        calls = (
            list(zip(self._members, *arguments, strict=True)) if arguments else [(m,) for m in self._members]
        )
        if self._client is not None:
            begun = [getattr(member, name)(*told) for member, *told in calls]
            return [one.result() for one in begun]
        return list(self._threads.map(lambda one: getattr(one[0], name)(*one[1:]), calls))

    def call_all(self, name: str, *arguments: Any) -> list[Any]:
        """Call a method of each with the same arguments."""
        return self.call(name, *([argument] * len(self._members) for argument in arguments))
