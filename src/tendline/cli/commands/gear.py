"""Owns the arguments of `tendline gear`: loop, build, chain, parts.

Does not own the jobs (`jobs.gear_loop`, `jobs.gear_build`, `jobs.gear_parts`).
"""

import shutil
from collections.abc import Callable
from typing import Any

import click

from tendline.cli.common import Call, common


def build_options(job: Callable[..., Any]) -> Callable[..., Any]:
    """Give a command its build: a file, words, or words over a file."""
    words = "A value of the build, alone or over the file: loop.largest_around=38in. Empty takes it away."
    job = click.option("--set", "changes", multiple=True, metavar="TABLE.KEY=VALUE", help=words)(job)
    return click.argument("file", metavar="[FILE]", required=False)(job)


@click.group()
def command() -> None:
    """Design a loop and a build; strength chain; parts, cut list, load."""


@command.command("loop")
@click.argument("animal")
@click.option("--where", default="trail", help="trail, under-fence or log-crossing.")
@click.option("--base-snow", "base", metavar="DEPTH", help="Old snow there that bears weight: 8in.")
@click.option("--new-snow", "new", metavar="DEPTH", help="Loose new snow on it: 6in.")
@click.option("--sinking", metavar="DEPTH", help="How deep its tracks go, as measured.")
@click.option("--log", metavar="HEIGHT", help="Top of the log above the ground, for a log-crossing.")
@click.option("--profile", metavar="PROFILE", help="The law (default: the first of the line).")
@click.option("--draw", is_flag=True, help="Write the side view as SVG into papers/.")
@common
def loop(
    call: Call,
    *,
    animal: str,
    where: str,
    base: str | None,
    new: str | None,
    sinking: str | None,
    log: str | None,
    profile: str | None,
    draw: bool,
) -> int:
    """Give loop and height for ANIMAL (such as coyote or "red fox"): what suits it, what the law says.

    Exit 1 where law and animal leave nothing in common; the law binds.
    """
    from tendline.jobs.gear_loop import gear_loop

    width = max(60, shutil.get_terminal_size((100, 24)).columns)
    answer = gear_loop(
        call.workspace(),
        animal,
        where,
        base=base,
        new=new,
        sinking=sinking,
        log=log,
        profile=profile,
        draw=draw,
        width=width,
    )
    return call.show(answer)


@command.command("build")
@build_options
@click.option("--tag", "tags", multiple=True, metavar="TAG", help="Put a device of this build on record.")
@click.option("--rebuilt", multiple=True, metavar="TAG", help="Note that this device was rebuilt as such.")
@click.option("--bought", is_flag=True, help="They came ready-made: take no loose parts off the stock.")
@common
def build(
    call: Call,
    *,
    file: str | None,
    changes: tuple[str, ...],
    tags: tuple[str, ...],
    rebuilt: tuple[str, ...],
    bought: bool,
) -> int:
    """Lay out the build in FILE: stops along the cable, reach, weight, cost; which laws it breaks, by what.

    Without a FILE every value is given with --set: --set cable.make=7x7 --set loop.largest_around=38in.

    Exit 1 when it is against a law in use, or something may give way before its breakaway.
    """
    from tendline.jobs.gear_build import gear_build
    from tendline.jobs.gear_devices import Recorded

    return call.show(
        gear_build(call.workspace(), file, changes=changes, devices=Recorded(tags, rebuilt, bought))
    )


@command.command("chain")
@build_options
@common
def chain(call: Call, *, file: str | None, changes: tuple[str, ...]) -> int:
    """Judge the strength chain of the build in FILE: every link beside the breakaway, the weakest named.

    Exit 1 when something may give way before the breakaway opens, or it is over what a law in use allows.
    """
    from tendline.jobs.gear_build import gear_chain

    return call.show(gear_chain(call.workspace(), file, changes=changes))


@command.command("parts")
@build_options
@click.option("--devices", type=int, help="Devices to be out (default: what is in the field).")
@click.option("--nights", type=float, help="Nights still to come (default: 60).")
@click.option("--risk", type=float, default=0.05, show_default=True, help="Chance of running out taken.")
@click.option("--have", multiple=True, metavar="PART=COUNT", help="Loose parts in stock; may be repeated.")
@click.option("--roll", "rolls", multiple=True, metavar="LENGTH[*COUNT]", help="Rolls and offcuts: 1000ft*2.")
@click.option("--cut", type=int, help="Cables to cut (default: what is to be ordered).")
@click.option("--piece", "pieces", multiple=True, metavar="LENGTH*COUNT", help="Other pieces: 30in*10.")
@click.option("--kerf", default="0mm", show_default=True, metavar="LENGTH", help="Lost with each cut.")
@common
def parts(
    call: Call,
    *,
    file: str | None,
    changes: tuple[str, ...],
    devices: int | None,
    nights: float | None,
    risk: float,
    have: tuple[str, ...],
    rolls: tuple[str, ...],
    cut: int | None,
    pieces: tuple[str, ...],
    kerf: str,
) -> int:
    """Count parts for the season and for today, and cut the cable with least waste; the build is in FILE.

    Exit 1 when something must be ordered.
    """
    from tendline.jobs.gear_parts import PartsAsked, gear_parts

    asked = PartsAsked(devices, nights, risk, have, rolls, cut, pieces, kerf, changes)
    return call.show(gear_parts(call.workspace(), file, asked))
