"""Owns the arguments of `tendline round`.

Does not own the job (`jobs.round`).
"""

import shutil
from typing import Any

import click

from tendline.cli.common import Call, common
from tendline.cli.round_options import asked_from, round_options, stopping, teller


@click.command()
@click.option("--replan", is_flag=True, help="The rest of a round under way, from what is noted so far.")
@click.option("--truck", default="", metavar="PARKING", help="With --replan: where the truck stands.")
@round_options
@common
def command(call: Call, *, replan: bool, truck: str, **options: Any) -> int:
    """Plan one outing: where to park, in what order to walk, when, with how much slack.

    Hard limits are never broken. When not everything that must be visited fits, that is said first, with the
    smallest thing that would help; exit 1.

    With --replan, --from is where you stand (a parking or a set; the last set noted when left out), --start
    is when the round began, and --back the latest return.
    """
    from tendline.jobs.round import round_
    from tendline.jobs.round_replan import replan as rest_of_round

    width = max(60, shutil.get_terminal_size((100, 24)).columns)
    if truck and not replan:
        raise click.UsageError("--truck goes with --replan")
    if replan:
        with stopping() as should_stop:
            answer = rest_of_round(
                call.workspace(),
                asked_from(options),
                truck=truck,
                width=width,
                tell=teller(),
                should_stop=should_stop,
            )
        return call.show(answer)
    with stopping() as should_stop:
        answer = round_(
            call.workspace(),
            asked_from(options),
            width=width,
            tell=teller(),
            should_stop=should_stop,
        )
    return call.show(answer)
