"""Owns the arguments of `tendline lawful`, and asking a person about a profile, value by value.

Does not own the jobs (`jobs.lawful`, `jobs.confirm`, `jobs.own_profile`).
"""

import shutil
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from tendline.cli.common import Call, common

if TYPE_CHECKING:
    from tendline.jobs.answer import Answer
    from tendline.jobs.confirmed_files import Said
    from tendline.jobs.profile_values import ProfileValue
    from tendline.jobs.workspace import Workspace


@click.command()
@click.option(
    "--set", "sets", multiple=True, metavar="SET", help="Only this set, with its device and parcel."
)
@click.option("--parcel", "parcels", multiple=True, metavar="PARCEL", help="Only this parcel.")
@click.option(
    "--catch", "catches", is_flag=True, help="Only catches: what must be done first, second, by when."
)
@click.option("--draw", is_flag=True, help="With --set: write a drawing of what a held animal can reach.")
@click.option("--all", "everything", is_flag=True, help="Tell what passes and what does not apply as well.")
@click.option("--confirm", metavar="PROFILE", help="Go through a profile, value by value, for this season.")
@click.option("--sheet", metavar="FILE", help="With --confirm: take the answers from a sheet.")
@click.option("--note", default="", help="With --confirm: whom you asked, what you read.")
@click.option("--new", metavar="PROFILE", help="Write a profile of your own, to be filled in.")
@common
def command(
    call: Call,
    *,
    sets: tuple[str, ...],
    parcels: tuple[str, ...],
    catches: bool,
    draw: bool,
    everything: bool,
    confirm: str | None,
    sheet: str | None,
    note: str,
    new: str | None,
) -> int:
    """Judge every device, set, parcel, person and catch by the rules in force on a day.

    Summary first: what is wrong, what cannot be told, then the rest. Exit 1 when anything is wrong. Not legal
    advice; what is not verified is not allowed.
    """
    space = call.workspace()
    if new is not None:
        from tendline.jobs.own_profile import new_profile

        return call.show(new_profile(space, new))
    if confirm is not None:
        return call.show(_confirm(space, confirm, sheet=sheet, note=note))
    from tendline.jobs.lawful import lawful

    width = max(60, shutil.get_terminal_size((100, 24)).columns)
    answer = lawful(
        space, sets=sets, parcels=parcels, catches=catches, everything=everything, draw=draw, width=width
    )
    return call.show(answer)


def _confirm(space: "Workspace", profile: str, *, sheet: str | None, note: str) -> "Answer":
    from tendline.jobs.confirm import confirm, read_sheet, worksheet

    if sheet is not None:
        said, told = read_sheet(space, profile, Path(sheet))
        return confirm(space, profile, lambda value, _k, _n: said[value.rule], note=note or told)
    if not sys.stdin.isatty():
        return worksheet(space, profile)
    return confirm(space, profile, _ask, note=note)


def _ask(value: "ProfileValue", number: int, total: int) -> "Said":
    from tendline.jobs.confirm import answered_word
    from tendline.jobs.confirmed_files import Said

    click.echo(f"\n{number} of {total}  [{value.rule}]  {value.words}", err=True)
    for citation in value.citations:
        click.echo(f"    {citation}", err=True)
    if not value.citations:
        click.echo("    nothing is held for this day", err=True)
    answer = click.prompt("a = agree, d = don't know, or how it really is", err=True)
    return Said(answered_word(str(answer)))
