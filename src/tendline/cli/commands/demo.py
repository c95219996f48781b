"""Owns the arguments of `tendline demo`.

Does not own the job (`jobs.demo`).
"""

import shutil

import click

from tendline.cli.common import Call, common
from tendline.cli.round_options import teller


@click.command()
@click.argument("folder", default="demo-line")
@click.option("--fresh", is_flag=True, help="Build over an example that was made before.")
@common
def command(call: Call, *, folder: str, fresh: bool) -> int:
    """Build the invented example line and run the main job on it.

    An invented line in an invented place under invented rules: what is due, tomorrow's round with a small
    map, and its route card.
    """
    from tendline.jobs.demo import demo

    width = max(60, shutil.get_terminal_size((100, 24)).columns)
    return call.show(demo(folder, fresh=fresh, at=call.at, width=width, tell=teller()))
