"""Owns the arguments of `tendline weeks`.

Does not own the job (`jobs.weeks`).
"""

import shutil
from typing import Any

import click

from tendline.cli.common import Call, common
from tendline.cli.round_options import stopping, teller


class _Share(click.ParamType[float]):
    """A share as people write it: ``95``, ``95%`` or ``0.95``."""

    name = "share"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """Read it; more than 1 is per cent."""
        if isinstance(value, float):
            return value
        try:
            number = float(str(value).strip().removesuffix("%"))
        except ValueError:
            self.fail(f"'{value}' is no share, such as 95 or 0.95.", param, ctx)
        share = number / 100.0 if number > 1.0 or str(value).strip().endswith("%") else number
        if not 0.0 <= share < 1.0:
            self.fail(f"'{value}' is not between 0 and 100 %.", param, ctx)
        return share


SHARE = _Share()


@click.command()
@click.option("--days", type=click.IntRange(1, 60), default=14, show_default=True, help="Days after today.")
@click.option("--mornings", default="", metavar="FROM-TO", help="A window of every day: 05:00-08:00.")
@click.option("--evenings", default="", metavar="FROM-TO", help="Another: 16:00-18:00.")
@click.option("--who", multiple=True, metavar="NAME", help="Who goes in these; may be given again.")
@click.option("--own", is_flag=True, help="Keep your own limit as well, as if it were law.")
@click.option(
    "--from",
    "since",
    default="",
    metavar="PLACE|DAY",
    help="Start and end of outings: a parking or LON,LAT, else home. With --without: the first day.",
)
@click.option("--without", multiple=True, metavar="NAME", help="Who cannot go: the least that must be done.")
@click.option("--until", default="", metavar="DAY", help="With --without: the last day; else three days.")
@click.option(
    "--own-costs",
    type=click.FloatRange(0, 600),
    default=0.0,
    metavar="MIN",
    help="Count each gap over your own limit as so many minutes.",
)
@click.option(
    "--safe", type=SHARE, metavar="P", help="Chance that nothing is late, look or return: 95 or 0.95."
)
@click.option(
    "--storm-mornings",
    "storm",
    type=SHARE,
    metavar="P",
    help="Mornings on which travel takes longer: 10 or 0.1.",
)
@click.option(
    "--keep",
    multiple=True,
    metavar="DAY=SETS",
    help="A round of your own that is kept: sat=N1,N2 or sat/WHO=N1; may be given again.",
)
@click.option(
    "--not",
    "apart",
    multiple=True,
    metavar="WHEN [WHO]",
    help="A window that falls away, by when it begins: 2027-01-16T05:00; may be given again.",
)
@click.option(
    "--also",
    multiple=True,
    metavar="FROM/TO WHO",
    help="A window that is tried: '2027-01-16T05:30/2027-01-16T08:00 Ann'; may be given again.",
)
@click.option(
    "--was", default="", metavar="FILE", help="A plan begun (weeks --json): repair it with few changes."
)
@click.option("--routine", is_flag=True, help="A week that can be repeated, however the line stands now.")
@click.option("--record", is_flag=True, help="Keep the plan in papers/, for tendline season --plans.")
@click.option("--seed", type=int, default=1, show_default=True, help="Of the search and the chances.")
@click.option(
    "--seconds", type=click.FloatRange(1, 3600), default=30.0, show_default=True, help="Time to search."
)
@common
def command(
    call: Call,
    *,
    days: int,
    mornings: str,
    evenings: str,
    who: tuple[str, ...],
    own: bool,
    since: str,
    without: tuple[str, ...],
    until: str,
    own_costs: float,
    safe: float | None,
    storm: float | None,
    keep: tuple[str, ...],
    apart: tuple[str, ...],
    also: tuple[str, ...],
    was: str,
    routine: bool,
    record: bool,
    seed: int,
    seconds: float,
) -> int:
    """Plan the days ahead so that no gap is ever over the limit.

    Windows are those given here, else what is on record (tendline note available). When no plan keeps every
    limit, that is said first, with whether it is proved and what would help; exit 1.
    """
    width = max(60, shutil.get_terminal_size((100, 24)).columns)
    if without and record:
        raise click.UsageError("--record keeps a plan of the days ahead; it does not go with --without")
    if without:
        from tendline.jobs.weeks_without import without as least
        from tendline.jobs.weeks_without_asked import AskedWithout

        gone = AskedWithout(
            without=without,
            since=since,
            until=until,
            mornings=mornings,
            evenings=evenings,
            who=who,
            seed=seed,
            seconds=seconds,
        )
        with stopping() as should_stop:
            least_answer = least(call.workspace(), gone, width=width, tell=teller(), should_stop=should_stop)
        return call.show(least_answer)
    from tendline.jobs.weeks import AskedWeeks, weeks

    asked = AskedWeeks(
        days=days,
        mornings=mornings,
        evenings=evenings,
        who=who,
        own="also" if own else "shown",
        origin=since,
        own_min=own_costs,
        safe=safe,
        storm=storm,
        keep=keep,
        apart=apart,
        also=also,
        was=was,
        record=record,
        seed=seed,
        seconds=seconds,
    )
    with stopping() as should_stop:
        if routine:
            from tendline.jobs.weeks_routine import weeks_routine

            return call.show(
                weeks_routine(call.workspace(), asked, width=width, tell=teller(), should_stop=should_stop)
            )
        answer = weeks(
            call.workspace(),
            asked,
            width=width,
            tell=teller(),
            should_stop=should_stop,
        )
    return call.show(answer)
