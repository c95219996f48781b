"""Owns the arguments of `tendline take`.

Does not own the job (`jobs.take`).
"""

import click

from tendline.cli.common import Call, common


@click.command()
@click.argument("source", required=False, metavar="FILE|FOLDER")
@click.option("--odd", is_flag=True, help="List what came in odd: entered with a flag, or held.")
@common
def command(call: Call, *, source: str | None, odd: bool) -> int:
    """Merge a phone's outbox, or another logbook of the line. Twice is the same as once.

    What the line does not fit is entered with a flag; what would harm the record is held word for word, and
    counts for nothing. Exit 1 when there is any.
    """
    from tendline.jobs.take import odd_ones, take

    if odd == (source is not None):
        raise click.UsageError("name a FILE or FOLDER, or give --odd.")
    space = call.workspace()
    return call.show(odd_ones(space) if source is None else take(space, source))
