"""Owns the arguments of `tendline learn`.

Does not own the job (`jobs.learn`).
"""

import sys

import click

from tendline.cli.common import Call, common


@click.command()
@click.option(
    "--accept",
    multiple=True,
    metavar="KEY",
    help='Write this value into line.toml, such as walk.own; "all" for every one on offer.',
)
@common
def command(call: Call, *, accept: tuple[str, ...]) -> int:
    """Say what your record teaches of your own times: pace, snow, minutes for a look.

    Recorded walks (GPX tracks with times) and the times of checks are compared with the walking curve. Values
    are offered with their ranges; nothing is changed until you accept it.
    """
    from tendline.jobs.learn import learn

    def tell(text: str) -> None:
        if sys.stderr.isatty():
            click.echo(text, err=True)

    return call.show(learn(call.workspace(), accept=accept, tell=tell))
