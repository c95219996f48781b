"""Owns writing the plots of a season into a folder, each with its numbers beside it as CSV.

Does not own what is drawn (`report.season_plots`).
"""

from collections.abc import Sequence
from pathlib import Path

from tendline.core.errors import refuse
from tendline.jobs.faults import CANNOT_WRITE
from tendline.jobs.files import write_whole
from tendline.report.season_nouns import Told


def write_plots(told: Told, folder: Path, formats: Sequence[str]) -> tuple[str, ...]:
    """Write every plot that has something to show.

    Parameters
    ----------
    told
        What is told.
    folder
        Made if it is not there.
    formats
        ``svg``, ``png``, ``pdf``.

    Returns
    -------
    tuple of str
        The files written.

    Raises
    ------
    Refused
        JOB-104 when the folder cannot be written.
    """
    from tendline.report.season_plots import season_plots  # noqa: PLC0415 - matplotlib is slow to load

    written: list[str] = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for plot in season_plots(told, formats):
            for name, content in plot.files.items():
                write_whole(folder / name, content)
                written.append(str(folder / name))
    except OSError as problem:
        do = "Choose another place with --plots."
        raise refuse(CANNOT_WRITE, f"{problem.strerror}.", str(folder), do) from problem
    return tuple(written)
