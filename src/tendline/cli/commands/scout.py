"""Owns the arguments of `tendline scout`.

Does not own the jobs (`jobs.scout`, `jobs.scout_compare`).
"""

import shutil
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import click

from tendline.cli.common import Call, common


@click.command()
@click.option(
    "--animal",
    "animals",
    multiple=True,
    default=("coyote",),
    show_default=True,
    help="Whose travel; one that has weights. May be said again: one more, side by side.",
)
@click.option(
    "--with", "others", multiple=True, metavar="FOLDER", help="Another line folder as well, side by side."
)
@click.option("--parcel", "parcels", multiple=True, metavar="PARCEL", help="Only this parcel.")
@click.option("--box", metavar="W,S,E,N", help="This area, in degrees, instead of parcels.")
@click.option(
    "--between",
    nargs=2,
    multiple=True,
    metavar="PLACE PLACE",
    help="Also the least hard way between two: a parking, landmark or set, or LON,LAT.",
)
@click.option("--count", type=int, default=12, show_default=True, help="So many spots at most.")
@click.option("--apart", metavar="LENGTH", default="150m", show_default=True, help="So far apart at least.")
@click.option(
    "--cell", metavar="LENGTH", help="Size of the cells: 30m; as the elevation model has them without."
)
@click.option(
    "--weights",
    multiple=True,
    metavar="FILE",
    help="Weights of your own; several side by side, 'shipped' for those that come with tendline.",
)
@click.option(
    "--write-weights", metavar="FILE", help="Write the weights that come with tendline, to be edited."
)
@click.option(
    "--variations", type=int, default=12, show_default=True, help="So often the weights are varied."
)
@click.option("--seed", type=int, help="Seed of that; the same one gives the same answer.")
@click.option("--scheduler", metavar="ADDRESS", help="Work on a cluster: tcp://host:8786.")
@click.option(
    "--out",
    metavar="FOLDER",
    help="Write a map layer (GeoJSON) and waypoints (GPX) there; with --compare, plots.",
)
@click.option("--keep", is_flag=True, help="Keep the prediction, to be held against what you see later.")
@click.option("--compare", is_flag=True, help="Hold the predictions kept against sign and catches since.")
@common
def command(call: Call, **given: Any) -> int:
    """Say where the land pinches travel, before boots go there.

    A reason to go and look, not an answer. With heights alone it works, and says what it did not know; it
    knows more with cover, water, roads, houses and lines brought in as features.
    """
    width = max(60, shutil.get_terminal_size((100, 24)).columns)
    if given["write_weights"] is not None:
        from tendline.jobs.scout_weights import write_weights

        return call.show(write_weights(Path(given["write_weights"])))
    if given["compare"]:
        from tendline.jobs.scout_compare import compare

        return call.show(compare(call.workspace(), out=_out(given), width=width))
    from tendline.jobs.scout import SEED, SHIPPED, ScoutAsked, scout, scout_length

    asked = ScoutAsked(
        animals=given["animals"],
        parcels=given["parcels"],
        box=_box(given["box"]),
        between=given["between"],
        count=given["count"],
        apart_m=scout_length(given["apart"], "--apart"),
        cell_m=None if given["cell"] is None else scout_length(given["cell"], "--cell"),
        weights=given["weights"] or (SHIPPED,),
        others=given["others"],
        variations=given["variations"],
        seed=SEED if given["seed"] is None else abs(given["seed"]),
        scheduler=given["scheduler"],
        out=_out(given),
        keep=given["keep"],
    )
    return call.show(scout(call.workspace(), asked, width=width, tell=_tell))


def _out(given: Mapping[str, Any]) -> Path | None:
    """Give the folder to write to."""
    return None if given["out"] is None else Path(given["out"])


def _tell(text: str) -> None:
    """Say how far things are, where somebody is looking."""
    if sys.stderr.isatty():
        click.echo(text, err=True)


def _box(text: str | None) -> tuple[float, float, float, float] | None:
    if text is None:
        return None
    try:
        west, south, east, north = (float(part) for part in text.split(","))
    except ValueError:
        raise click.BadParameter(f"'{text}' is not W,S,E,N, such as -78.1,41.4,-78.0,41.5") from None
    return west, south, east, north
