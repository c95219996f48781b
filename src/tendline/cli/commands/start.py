"""Owns the arguments of `tendline start`.

Does not own the job (`jobs.start`).
"""

import click

from tendline.cli.common import Call, common, pair


@click.command()
@click.argument("folder")
@click.option("--zone", required=True, help="Local time zone by its IANA name, such as America/New_York.")
@click.option("--name", default="", help="What the line is called.")
@click.option("--handler", default="", help="Who does the work.")
@click.option("--home", metavar="LON,LAT", help="Where outings start and end.")
@click.option("--profile", "profiles", multiple=True, help="Rule profile, such as us-pa; again for more.")
@common
def command(
    call: Call,
    *,
    folder: str,
    zone: str,
    name: str,
    handler: str,
    home: str | None,
    profiles: tuple[str, ...],
) -> int:
    """Make a new line folder: settings, an empty logbook, and room for ground and papers."""
    from tendline.core.place import LonLat
    from tendline.jobs.start import start

    place = pair(home, "--home")
    return call.show(
        start(
            folder,
            zone=zone,
            name=name,
            units=call.units or "us",
            handler=handler,
            home=LonLat(*place) if place else None,
            profiles=profiles,
        )
    )
