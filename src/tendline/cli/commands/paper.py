"""Owns the arguments of `tendline paper`.

Does not own the job (`jobs.paper`).
"""

from typing import Any

import click

from tendline.cli.common import Call, common
from tendline.cli.paper_options import named, out_option
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


@command.command("finder-sheet")
@click.option("--sets", multiple=True, metavar="A,B,..", help="Only these sets; all in the field otherwise.")
@click.option(
    "--call", "calls", multiple=True, metavar="WHO:NUMBER", help="Whom to call; may be given several times."
)
@out_option
@common
def finder(call: Call, *, sets: tuple[str, ...], calls: tuple[str, ...], out: str | None) -> int:
    """Write the sheet by which another person reaches and takes up every device, from paper alone."""
    from tendline.jobs.paper_finder import finder_sheet

    return call.show(finder_sheet(call.workspace(), sets=named(sets), calls=calls, out=out, tell=teller()))
