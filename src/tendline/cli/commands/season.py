"""Owns the arguments of `tendline season`.

Does not own the job (`jobs.season`).
"""

import shutil

import click

from tendline.cli.common import Call, common


@click.command()
@click.option("--season", "name", default="", metavar="YEARS", help="2026-27, July to June; else this one.")
@click.option("--from", "first", default="", metavar="DAY", help="From this day instead.")
@click.option("--to", "last", default="", metavar="DAY", help="To this day instead.")
@click.option(
    "--nights",
    default="half-interval",
    show_default=True,
    metavar="HOW",
    help="How a night counts: half-interval, functional, by-finding, raw.",
)
@click.option("--exact", is_flag=True, help="Clopper-Pearson ranges for shares, not Wilson's.")
@click.option("--score", is_flag=True, help="Score method for ratios of rates, not the exact one.")
@click.option("--all", "everything", is_flag=True, help="Every table, every set, every comparison.")
@click.option("--plots", default="", metavar="FOLDER", help="Write plots there, and their numbers as CSV.")
@click.option(
    "--format",
    "formats",
    multiple=True,
    type=click.Choice(["svg", "png", "pdf"]),
    help="Of the plots; may be given again. svg if left out.",
)
@click.option("--until", default="", metavar="DAY", help="Captures expected by this day.")
@click.option("--hour", type=click.FloatRange(0), metavar="AMOUNT", help="What an hour is worth to you.")
@click.option("--mile", type=click.FloatRange(0), metavar="AMOUNT", help="What a mile costs you.")
@click.option("--removal", default="", metavar="SPECIES", help="Removal index of a species, week by week.")
@click.option("--rounds", default="", metavar="CATCHES", help="Removal index of rounds by hand: 38,26,12.")
@click.option("--effort", default="", metavar="NIGHTS", help="Effort of those rounds: 7,7,7.")
@click.option("--injuries", default="", metavar="FILE", help="Injury points of your protocol (TOML).")
@click.option("--counties", is_flag=True, help="Only effort and rates by county and season, of any length.")
@click.option(
    "--plans", is_flag=True, help="Only kept plans (route cards, weeks --record) against the record."
)
@click.option(
    "--with", "others", multiple=True, metavar="FOLDER", help="With --counties: another line folder as well."
)
@common
def command(
    call: Call,
    *,
    name: str,
    first: str,
    last: str,
    counties: bool,
    plans: bool,
    others: tuple[str, ...],
    **words: object,
) -> int:
    """Say what a season came to: effort, catch rates with ranges, what the misses say, what earns its check.

    Nothing is recorded, and no figure stands without its range. What is wrong on record is named and left out
    of the figures it would spoil; exit 1 then, or when there is no effort to divide by.
    """
    width = max(60, shutil.get_terminal_size((100, 24)).columns)
    if plans and counties:
        raise click.UsageError("--plans and --counties are two questions: ask one of them")
    if plans:
        from tendline.jobs.season_plans import against_plans

        return call.show(against_plans(call.workspace(), season=name, first=first, last=last, width=width))
    if counties:
        from tendline.jobs.season_counties import by_counties

        nights = str(words["nights"])
        return call.show(by_counties(call.workspace(), others, nights=nights, width=width))
    from tendline.jobs.season import AskedSeason, season

    formats = words.pop("formats", ()) or ("svg",)
    asked = AskedSeason(season=name, first=first, last=last, formats=formats, **words)  # type: ignore[arg-type]
    return call.show(season(call.workspace(), asked, width=width))
