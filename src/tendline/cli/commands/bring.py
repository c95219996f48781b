"""Owns the arguments of `tendline bring`.

Does not own the job (`jobs.bring`).
"""

import click

from tendline.cli.common import Call, common


@click.command()
@click.argument("files", nargs=-1, required=True, metavar="FILE...")
@click.option(
    "--as",
    "default_kind",
    type=click.Choice(["set", "parking", "landmark", "parcel", "barrier", "track", "spot"]),
    help="What a place is that does not say so itself.",
)
@click.option(
    "--elevation-unit",
    type=click.Choice(["m", "ft", "us-ft"]),
    help="Unit of heights a raster does not name.",
)
@click.option("--made", metavar="WHEN", help="When the sets without a time of their own were made.")
@common
def command(
    call: Call,
    *,
    files: tuple[str, ...],
    default_kind: str | None,
    elevation_unit: str | None,
    made: str | None,
) -> int:
    """Take in files: GPX, GeoJSON, KML, GeoPackage, shapefile, CSV (places or drives) and GeoTIFF heights.

    All of them, or, when anything is wrong with any, none. The same file again changes nothing; a file that
    has changed says what changed.
    """
    from tendline.jobs.bring import bring

    return call.show(
        bring(call.workspace(), files, default_kind=default_kind, elevation_unit=elevation_unit, made=made)
    )
