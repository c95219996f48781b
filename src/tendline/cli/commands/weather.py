"""Owns the arguments of `tendline weather`.

Does not own the job (`jobs.weather`).
"""

import shutil
from pathlib import Path

import click

from tendline.cli.common import Call, common


@click.command()
@click.argument("file", required=False)
@click.option(
    "--words", metavar="WORDS", help="A forecast typed in: '6 in tonight, 20 to 34 F, wind 15 mph'."
)
@click.option("--days", type=int, default=3, show_default=True, help="Local days, today the first; 1 to 10.")
@click.option("--set", "sets", multiple=True, metavar="SET", help="Only this set.")
@click.option("--all", "everything", is_flag=True, help="Heights of every set on every day.")
@click.option("--members", type=int, default=500, show_default=True, help="How many times it is worked out.")
@click.option(
    "--seed", type=int, default=None, help="Seed of the members; the same one gives the same answer."
)
@common
def command(
    call: Call,
    *,
    file: str | None,
    words: str | None,
    days: int,
    sets: tuple[str, ...],
    everything: bool,
    members: int,
    seed: int | None,
) -> int:
    """Say which loops, anchors and crossings the coming weather spoils, by law and by animal.

    FILE is a National Weather Service gridpoint document as you saved it (JSON), or a table (CSV) with a
    header such as time,temp_f,snow_in,wind_mph. What to do tonight comes first, then tomorrow. Nothing is
    recorded: a forecast is not a measurement. Exit 1 when something has to be done tonight.
    """
    from tendline.jobs.weather import SEED, weather

    answer = weather(
        call.workspace(),
        Path(file) if file is not None else None,
        words=words,
        days=days,
        members=members,
        seed=SEED if seed is None else abs(seed),
        sets=sets,
        everything=everything,
        width=max(60, shutil.get_terminal_size((100, 24)).columns),
    )
    return call.show(answer)
