"""Owns the season as a terminal shows it: where its lines break, how its tables are drawn.

Does not own its words (`season_parts`), its figures (`season`) or the JSON (`season_json`).
"""

from collections.abc import Sequence

from tendline.report.say import INVENTED
from tendline.report.season_nouns import Cells, Part, Told, heading
from tendline.report.season_parts import season_parts
from tendline.report.table import draw_table, fold


def season_text(told: Told, *, width: int = 100, everything: bool = False, plots: Sequence[str] = ()) -> str:
    """Write a season for a terminal.

    Parameters
    ----------
    told
        What is told.
    width
        Of the terminal [characters].
    everything
        Every table and every set; else those that say something.
    plots
        Files that were written.
    """
    lines = [INVENTED, ""] if told.settings.invented else []
    for part in season_parts(told, everything=everything):
        lines += _drawn(part, width)
    if plots:
        lines += ["", "Plots, each with its numbers beside it as CSV:", *(f"  {name}" for name in plots)]
    return "\n".join(lines)


def _drawn(part: Part, width: int) -> list[str]:
    lines = heading(part.title) if part.title else []
    for said in part.said:
        lines += (
            [draw_table(said.columns, said.rows, width=width)]
            if isinstance(said, Cells)
            else fold(said, width)
        )
    return lines
