"""Owns doing many pieces of work side by side: in threads of this machine, or on a cluster.

Does not own the work. The only door to dask.
"""

from collections.abc import Callable, Sequence
from typing import TypeVar

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
    from distributed import Client  # noqa: PLC0415 - heavy, and only with a cluster

    try:
        client = Client(scheduler, timeout=WAIT_S)  # type: ignore[no-untyped-call]
    except (OSError, ValueError, TimeoutError) as problem:
        raise refuse(
            NO_CLUSTER,
            f"the scheduler does not answer: {type(problem).__name__}.",
            scheduler,
            "Start one and its workers, correct the address, or leave --scheduler out.",
        ) from None
    with client:
        return list(client.gather(client.map(work, items, pure=False)))  # type: ignore[no-untyped-call]
