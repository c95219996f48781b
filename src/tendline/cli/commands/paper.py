"""Owns the arguments of `tendline paper`.

Does not own the job (`jobs.paper`).
"""

from typing import Any

import click

from tendline.cli.common import Call, common
from tendline.cli.round_options import asked_from, round_options, stopping, teller


@click.group()
def command() -> None:
    """Write a paper into the line's papers/ folder."""


@command.command("route-card")
@click.option("--out", metavar="FILE", help="Where to write the PDF.")
@round_options
@common
def card(call: Call, *, out: str | None, **options: Any) -> int:
    """Write the route card of one outing: order, times, limits, boxes to fill in with a pencil."""
    from tendline.jobs.paper import route_card

    with stopping() as should_stop:
        answer = route_card(
            call.workspace(), asked_from(options), out=out, tell=teller(), should_stop=should_stop
        )
    return call.show(answer)
