"""Owns the arguments of `tendline due`.

Does not own the job (`jobs.due`).
"""

import shutil

import click

from tendline.cli.common import Call, common


@click.command()
@common
def command(call: Call) -> int:
    """Say what is due, by when, under which rule; what runs out first stands on top.

    Exit 1 when anything is overdue.
    """
    from tendline.jobs.due import due

    return call.show(due(call.workspace(), width=max(60, shutil.get_terminal_size().columns)))
