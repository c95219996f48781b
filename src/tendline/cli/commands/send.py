"""Owns the arguments of `tendline send`.

Does not own the job (`jobs.send`).
"""

import click

from tendline.cli.common import Call, common
from tendline.cli.paper_options import named


@click.command()
@click.argument("form", metavar="FORMAT", type=click.Choice(["gpx", "geojson", "kml", "gpkg", "csv", "ics"]))
@click.option("--exact", is_flag=True, help="Places as they are: the file shows where devices are.")
@click.option("--grid", metavar="LENGTH", help="Blur places to squares of this side (default 1km).")
@click.option(
    "--ahead",
    "ahead_min",
    type=click.FloatRange(0, 7 * 24 * 60),
    default=120.0,
    show_default=True,
    metavar="MINUTES",
    help="How long before a due time the alarm of a calendar rings.",
)
@click.option("--photos", is_flag=True, help="Send photographs of sets along, without place or time in them.")
@click.option("--parcels", multiple=True, metavar="A,B,..", help="Only what is on these parcels.")
@click.option("--out", metavar="FILE", help="Where to write; into the line's sent/ otherwise.")
@common
def command(
    call: Call,
    form: str,
    *,
    exact: bool,
    grid: str | None,
    ahead_min: float,
    photos: bool,
    parcels: tuple[str, ...],
    out: str | None,
) -> int:
    """Write the line as GPX, GeoJSON, KML, GeoPackage or CSV, or its due times as a calendar (ics).

    Places are blurred unless --exact is given. What a format cannot hold is said.
    """
    from tendline.jobs.send import HowSent, send

    how = HowSent(exact=exact, grid=grid, ahead_min=ahead_min, photos=photos, parcels=named(parcels), out=out)
    return call.show(send(call.workspace(), form, how))
