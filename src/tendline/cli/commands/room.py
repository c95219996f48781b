"""Owns the arguments of `tendline room`.

Does not own the job (`jobs.room`).
"""

import shutil
from typing import Any

import click

from tendline.cli.common import Call, common
from tendline.cli.round_options import stopping, teller

_OPTIONS = (
    click.option("--start", metavar="WHEN", help="One outing: earliest start, 05:00, or a date and time."),
    click.option("--back", metavar="WHEN", help="Its latest return."),
    click.option("--on", metavar="DAY", help="Its day; the next such times if left out."),
    click.option("--all", "everything", is_flag=True, help="On it every working set is looked at."),
    click.option("--mornings", default="", metavar="FROM-TO", help="Or the days ahead: 05:00-08:00."),
    click.option("--evenings", default="", metavar="FROM-TO", help="Another window of every day."),
    click.option(
        "--days", type=click.IntRange(1, 60), default=7, show_default=True, help="Days after today."
    ),
    click.option("--who", multiple=True, metavar="NAME", help="Who goes; may be given again for windows."),
    click.option(
        "--from",
        "origin",
        default="",
        metavar="PLACE",
        help="Start and end: a parking or LON,LAT, else home.",
    ),
    click.option("--aside", metavar="LENGTH", help="How far beside the walk one more set stands: 20yd."),
    click.option(
        "--catches", type=click.IntRange(0, 20), help="Keep time for so many whole catches, not for the mean."
    ),
    click.option("--new", default="", metavar="LON,LAT", help="Ground you could have: where you would park."),
    click.option(
        "--new-drive", type=click.FloatRange(0, 600), metavar="MIN", help="Drive more for new ground."
    ),
    click.option("--new-walk", type=click.FloatRange(0, 600), metavar="MIN", help="Walk round new ground."),
    click.option("--spots", multiple=True, metavar="FILE", help="Spots to choose from (CSV, GPX, GeoJSON)."),
    click.option("--sign", is_flag=True, help="Choose from fresh sign on record as well."),
    click.option(
        "--nights",
        type=click.FloatRange(1, 365),
        default=30.0,
        show_default=True,
        help="For which catches are expected.",
    ),
    click.option(
        "--making",
        type=click.FloatRange(0, 240),
        metavar="MIN",
        help="Making one set on the outing; 0: tended only.",
    ),
    click.option("--seed", type=int, default=1, show_default=True, help="Of the search."),
    click.option(
        "--seconds", type=click.FloatRange(1, 3600), default=20.0, show_default=True, help="Time to search."
    ),
)


def _options(command: Any) -> Any:
    for option in reversed(_OPTIONS):
        command = option(command)
    return command


@click.command()
@_options
@common
def command(call: Call, **options: Any) -> int:
    """Say how many more sets can be tended, where, on a fair day and after snow; choose among spots.

    Of one outing (--start and --back), or of the days ahead (--mornings, --evenings, or what is on record).
    Every number was planned. Exit 1: what stands now does not fit on a fair day.
    """
    from tendline.jobs.room import room
    from tendline.jobs.room_asked import asked_room

    with stopping() as should_stop:
        answer = room(
            call.workspace(),
            asked_room(options),
            width=max(60, shutil.get_terminal_size((100, 24)).columns),
            tell=teller(),
            should_stop=should_stop,
        )
    return call.show(answer)
