"""Owns the arguments of `tendline round`.

Does not own the job (`jobs.round`).
"""

import shutil
from typing import Any

import click

from tendline.cli.common import Call, common
from tendline.cli.round_options import asked_from, round_options, stopping, teller


@click.command()
@round_options
@common
def command(call: Call, **options: Any) -> int:
    """Plan one outing: where to park, in what order to walk, when, with how much slack.

    Hard limits are never broken. When not everything that must be visited fits, that is said first, with the
    smallest thing that would help; exit 1.
    """
    from tendline.jobs.round import round_

    with stopping() as should_stop:
        answer = round_(
            call.workspace(),
            asked_from(options),
            width=max(60, shutil.get_terminal_size((100, 24)).columns),
            tell=teller(),
            should_stop=should_stop,
        )
    return call.show(answer)
