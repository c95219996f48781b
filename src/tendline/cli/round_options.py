"""Owns the options that say which round is meant, shared by `round` and `paper route-card`, and Ctrl-C.

Does not own the job (`jobs.round`).
"""

import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from tendline.jobs.round import Asked

_OPTIONS = (
    click.option("--start", metavar="WHEN", help="Earliest start: 05:00, now, or a date and time."),
    click.option("--back", metavar="WHEN", help="Latest return."),
    click.option(
        "--on", metavar="DAY", help="The day of these clock times; the next such times if left out."
    ),
    click.option("--who", default="", help="Who goes; the handler if left out."),
    click.option(
        "--from", "origin", default="", metavar="PLACE", help="Start: a parking or LON,LAT, else home."
    ),
    click.option(
        "--to", "destination", default="", metavar="PLACE", help="Where to be back; else the start."
    ),
    click.option(
        "--must", multiple=True, metavar="SETS", help="Sets that must be visited, besides what is due."
    ),
    click.option("--skip", multiple=True, metavar="SETS", help="Sets that are not visited, whatever is due."),
    click.option("--all", "everything", is_flag=True, help="Every working set must be visited."),
    click.option("--forecast", default="", metavar="FILE", help="A saved forecast, for wind chill."),
    click.option("--weather", default="", metavar="WORDS", help="The same typed in: '5 F, wind 15 mph'."),
    click.option("--only-due", is_flag=True, help="Nothing but what must be visited."),
    click.option("--seed", type=int, default=1, show_default=True, help="Of the search."),
    click.option(
        "--seconds", type=click.FloatRange(0.1, 3600), default=10.0, show_default=True, help="Time to search."
    ),
    click.option(
        "--iterations",
        type=click.IntRange(min=1),
        help="Search so many steps instead: the same plan each time.",
    ),
)


def round_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Give a command the options of a round."""
    for option in reversed(_OPTIONS):
        command = option(command)
    return command


def asked_from(options: dict[str, Any]) -> "Asked":
    """Turn the options into what is asked."""
    from tendline.jobs.round import Asked, names_of

    given = dict(options)
    given["must"], given["skip"] = names_of(given["must"]), names_of(given["skip"])
    if given["iterations"] is not None:
        given["seconds"] = None
    return Asked(**given)


@contextmanager
def stopping() -> Iterator[Callable[[], bool]]:
    """Let Ctrl-C end a search with the best so far; a second one ends the program."""
    stopped = False

    def on_stop(_number: int, _frame: FrameType | None) -> None:
        nonlocal stopped
        if stopped:
            raise KeyboardInterrupt
        stopped = True
        click.echo("\nstopping: the best so far follows (Ctrl-C again gives up)", err=True)

    try:
        before = signal.signal(signal.SIGINT, on_stop)
    except ValueError:  # not in the main thread
        yield lambda: stopped
        return
    try:
        yield lambda: stopped
    finally:
        signal.signal(signal.SIGINT, before)


def teller() -> Callable[[str], None]:
    """Give something that shows progress on standard error, when that is a terminal."""
    if not sys.stderr.isatty():
        return lambda _: None
    return lambda text: click.echo(f"\r\x1b[K{text}", nl=False, err=True)
