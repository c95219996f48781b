"""Owns the job `tendline audit`: whether the record is whole, and every device accounted for.

Does not own the judgement (`logbook.audit`), and mends nothing.
"""

from collections.abc import Sequence

from tendline.core.errors import Damaged, Fault
from tendline.core.line import Device, LineState
from tendline.jobs.answer import Answer
from tendline.jobs.workspace import GROUND, LOGBOOK, Workspace
from tendline.logbook.audit import ChainReport, check_chains, ledger, untagged_sets
from tendline.logbook.faults import DAMAGED_DATABASE
from tendline.logbook.fold import line_at
from tendline.logbook.store import SourceFile
from tendline.report.stock_text import REBUILD, out_data, out_devices, out_words, stock_data, stock_words


def audit(space: Workspace) -> Answer:
    """Check hash chains, the database file, the ledger of devices and the files brought in.

    Returns
    -------
    Answer
        Bad news when the ledger does not balance, a brought file is gone, or a set hangs on a cable that is
        out until rebuilt.

    Raises
    ------
    Damaged
        LOG-501 to LOG-503: what is damaged, and what is still whole.
    """
    with space.store() as store:
        problems = store.integrity()
        report = check_chains(store.raw_rows()) if not problems else None
        sources = store.sources() if not problems else ()
    if report is None or report.faults:
        raise Damaged(*_damage(space, problems, report))
    line = line_at(report.events, at=space.now)
    counts = ledger(line)
    missing = _missing_files(space, sources)
    text = [
        f"Whole: {report.whole} events in {len(report.chains)} chain(s), every hash as written.",
        "The database file is whole.",
        f"Devices built {sum(counts.values())}: "
        + ", ".join(f"{count} {state.value}" for state, count in counts.items())
        + ".",
    ]
    out = out_devices(line.devices.values())
    text += _out_words(out)
    if line.parts:
        text += [
            "Loose parts on record:",
            *stock_words(line.parts, space.settings.zone, space.settings.units),
        ]
    text += [f"Out of balance: {sentence}" for sentence in line.unbalanced]
    text += [f"To look at: {sentence}" for sentence in line.warnings]
    text += [f"File gone from {GROUND}/: {name}. Bring it again." for name in missing]
    untagged = untagged_sets(line)
    if untagged:
        text.append(f"In the field without a tag on record: {', '.join(untagged)}.")
    data = _data(report, line, missing, untagged)
    data |= {
        "out_until_rebuilt": out_data(out, space.settings.zone),
        "parts": stock_data(line.parts, space.settings.zone),
    }
    wrong = bool(line.unbalanced or missing or any(device.at_set for device in out))
    return Answer("\n".join(text), data, bad_news=wrong)


def _out_words(out: Sequence[Device]) -> list[str]:
    field, stock = [d for d in out if d.at_set], [d for d in out if not d.at_set]
    said = [f"In the field on a cable that is out until rebuilt: {out_words(field)}."] if field else []
    said += [f"In stock, out until rebuilt: {out_words(stock)}."] if stock else []
    return [*said, REBUILD] if said else []


def _data(
    report: ChainReport, line: LineState, missing: Sequence[str], untagged: Sequence[str]
) -> dict[str, object]:
    counts = ledger(line)
    return {
        "events": report.whole,
        "chains": report.chains,
        "whole": True,
        "devices": {"built": sum(counts.values())} | {state.value: count for state, count in counts.items()},
        "balanced": not line.unbalanced,
        "unbalanced": list(line.unbalanced),
        "warnings": list(line.warnings),
        "missing_files": list(missing),
        "untagged_sets": list(untagged),
    }


def _damage(space: Workspace, problems: Sequence[str], report: ChainReport | None) -> list[Fault]:
    path = str(space.folder / LOGBOOK)
    if report is None:
        keep = "Keep the file as it is; work on a copy; paper cards and other machines hold the same events."
        return [Fault(DAMAGED_DATABASE, f"{problem}.", path, keep) for problem in problems]
    total = len(report.events)
    note = f"Still whole: {report.whole} of {total} readable events."
    return [Fault(f.code, f.what, f.where, f"{f.do} {note}") for f in report.faults]


def _missing_files(space: Workspace, sources: Sequence[SourceFile]) -> tuple[str, ...]:
    return tuple(s.kept_as for s in sources if not (space.folder / GROUND / s.kept_as).is_file())
