"""Owns the season on paper: the season's figures with their ranges and plots, then what was counted.

Does not own a figure or its words: those are the season's (`season`, `season_parts`), here as on a terminal.
"""

from collections import Counter
from collections.abc import Sequence

from tendline.core.line import DeviceState
from tendline.report.page import (
    Block,
    Column,
    Heading,
    Lines,
    NewPage,
    Page,
    Pairs,
    Picture,
    Table,
    Tone,
    Words,
)
from tendline.report.paper_head import Desk, make_page
from tendline.report.paper_words import spoken
from tendline.report.returns import Told, in_order
from tendline.report.say import plain
from tendline.report.season_nouns import Cells, Part
from tendline.report.season_nouns import Told as Season
from tendline.report.season_parts import season_parts
from tendline.report.season_plots import Plot, season_plots
from tendline.report.stands import Stand, incidents_of

NOT_JUDGED = "Counts are of the record as it stands, and bear no range; by them alone no set is judged."


def season_page(desk: Desk, told: Told, season: Season) -> Page:
    """Put the pages together.

    Parameters
    ----------
    desk, told
        What the paper is written from, and what stood in the days asked about.
    season
        The same days as the season room worked them out.
    """
    plots = season_plots(season, ("svg",))
    blocks = [
        *(block for part in season_parts(season, bars=False) for block in _part(part)),
        *_plotted(plots),
        NewPage(),
        *_counts(desk, told),
        Words(NOT_JUDGED, "note"),
        Lines(("keep, rest or drop; whom to thank, with what; what to build",), tall=4),
    ]
    files = {f"{plot.name}.svg": plot.files[f"{plot.name}.svg"] for plot in plots}
    return make_page(desk, title="Season review", subtitle=desk.settings.name, blocks=blocks, files=files)


def _part(part: Part) -> list[Block]:
    blocks: list[Block] = [Heading(plain(part.title).capitalize())] if part.title else []
    tone: Tone = "box" if part.title.startswith("wrong on record") else "plain"
    for said in part.said:
        if isinstance(said, Cells):
            blocks.append(_table(said))
        elif said:
            blocks.append(Words(plain(said), tone))
    return blocks


def _table(cells: Cells) -> Table:
    """Set a table of the season on paper: a column is as wide as its longest words, within reason."""
    longest = [
        max([len(column.heading), *(len(row[i]) for row in cells.rows)])
        for i, column in enumerate(cells.columns)
    ]
    columns = tuple(
        Column(plain(column.heading), float(min(32, max(6, wide))), right=column.right)
        for column, wide in zip(cells.columns, longest, strict=True)
    )
    return Table(columns, tuple(tuple(plain(cell) for cell in row) for row in cells.rows))


def _plotted(plots: Sequence[Plot]) -> list[Block]:
    if not plots:
        return []
    shown = [
        Picture(
            f"{plot.name}.svg", f"Plot of {plot.name.replace('-', ' ')}: the figures of the tables above."
        )
        for plot in plots
    ]
    return [Heading("Plots"), *shown]


def _counts(desk: Desk, told: Told) -> list[Block]:
    states = Counter(device.state for device in desk.line.devices.values())
    return [
        Heading("Counts"),
        Pairs(
            (
                ("days", told.days),
                ("sets made", str(len(told.stands))),
                ("looks", str(sum(len(stand.visits) for stand in told.stands))),
                *((state.value, str(states.get(state, 0))) for state in DeviceState),
            ),
            columns=4,
        ),
        *(
            [Words("The ledger does not add up: tendline audit says where.", "box")]
            if desk.line.unbalanced
            else []
        ),
        Heading("By property", level=3),
        _by_parcel(desk, told),
        Heading("Animals held", level=3),
        _animals(taken_words(told)),
        Heading("Incidents", level=3),
        _incidents(desk, told),
        Heading("What the looks found", level=3),
        _found(told.stands),
    ]


def taken_words(told: Told) -> tuple[tuple[str, str, str, str], ...]:
    """Count animals by species, standing and what became of them."""
    counted = Counter((t.catch.species, t.catch.standing, t.catch.fate) for _, t in in_order(told.stands))
    return tuple(
        (plain(species), spoken(standing), spoken(fate), str(number))
        for (species, standing, fate), number in sorted(counted.items())
    )


def _animals(rows: tuple[tuple[str, str, str, str], ...]) -> Block:
    heads = (
        Column("species"),
        Column("standing"),
        Column("what became of it"),
        Column("number", 0.5, right=True),
    )
    return Table(heads, rows) if rows else Words("None.")


def _by_parcel(desk: Desk, told: Told) -> Block:
    groups: dict[str, list[Stand]] = {}
    for stand in told.stands:
        groups.setdefault(stand.parcel, []).append(stand)
    rows = []
    for name, stands in sorted(groups.items()):
        parcel = desk.line.parcels.get(name)
        held = [t.catch for s in stands for t in s.taken]
        rows.append(
            (
                plain(parcel.title) if parcel is not None else "on no property on record",
                str(len(stands)),
                str(sum(len(s.visits) for s in stands)),
                str(sum(c.standing == "target" for c in held)),
                str(sum(c.standing != "target" for c in held)),
                str(sum(s.how.startswith("lost") for s in stands)),
            )
        )
    heads = ("property", "sets", "looks", "target", "other", "lost")
    widths = (2.4, 0.6, 0.7, 0.7, 0.7, 0.6)
    columns = tuple(
        Column(head, width, right=head != "property") for head, width in zip(heads, widths, strict=True)
    )
    return Table(columns, tuple(rows)) if rows else Words("No device stood in these days.")


def _incidents(desk: Desk, told: Told) -> Block:
    found = incidents_of(told.stands)
    lines = [f"{desk.when(one.at)}, set {plain(one.set_name)}: {plain(one.what)}" for one in found]
    return Words("\n".join(lines) or "None on record.")


def _found(stands: Sequence[Stand]) -> Block:
    counted = Counter((v.found_as.value, v.happened.value) for s in stands for v in s.visits)
    rows = tuple(
        (spoken(found), spoken(happened), str(number)) for (found, happened), number in counted.most_common()
    )
    heads = (Column("device was"), Column("what had happened"), Column("looks", 0.5, right=True))
    return Table(heads, rows) if rows else Words("No look is on record.")
