"""Owns the due board as text and as one JSON document.

Does not own what is due (`plan.due`) or how a table is drawn (`table`).
"""

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from tendline.core.settings import Settings
from tendline.core.when import clock_text, rfc3339
from tendline.plan.due import DueRow
from tendline.report.loop_clock import LoopClock, loop_clock_text, read_clock
from tendline.report.say import INVENTED
from tendline.report.table import Column, draw_table
from tendline.rules.answer import Verdict

_COLUMNS = (
    Column("set"),
    Column("left in law"),
    Column("due by"),
    Column("last seen"),
    Column("own limit"),
    Column("to know", wrap=True),
)


def due_text(rows: Sequence[DueRow], *, settings: Settings, now: datetime, width: int = 100) -> str:
    """Write the board for a terminal.

    Parameters
    ----------
    rows
        As `plan.due.due_board` sorts them.
    settings
        For the zone and the line's name.
    now
        The present.
    width
        Of the terminal [characters].
    """
    head = [INVENTED, ""] if settings.invented else []
    zone = settings.zone
    head.append(f"{settings.name}, {clock_text(now, zone)}: {_summary(rows)}")
    if not rows:
        return "\n".join(head)
    body = draw_table(_COLUMNS, [_cells(row, settings=settings, now=now) for row in rows], width=width)
    return "\n".join([*head, "", body, "", *_rules(rows), *_shared(rows)])


def _summary(rows: Sequence[DueRow]) -> str:
    if not rows:
        return "no set is in the field."
    count = {verdict: sum(row.answer.verdict is verdict for row in rows) for verdict in Verdict}
    parts = [f"{len(rows)} sets in the field"]
    parts += [f"{number} {verdict.value}" for verdict, number in count.items() if number]
    unconfirmed = sum(bool(row.answer.confirm) for row in rows)
    if unconfirmed:
        parts.append(f"{unconfirmed} answers not confirmed for this season")
    return ", ".join(parts) + "."


def _cells(row: DueRow, *, settings: Settings, now: datetime) -> tuple[str, ...]:
    answer, zone = row.answer, settings.zone
    left = loop_clock_text(_clock(row, now))
    due = clock_text(answer.due_at, zone, relative_to=now) if answer.due_at else "not verified"
    if answer.verdict is Verdict.NO_CLOCK:
        due = "no clock"
    own = clock_text(row.own_due, zone, relative_to=now) if row.own_due else ""
    seen = clock_text(row.last_seen, zone, relative_to=now) if row.last_seen else "no record"
    notes = [*row.marks]
    if answer.act_by is not None and answer.act_by != answer.due_at:
        notes.append(f"go by {clock_text(answer.act_by, zone, relative_to=now)}: tending is barred after")
    if row.longest_wait:
        notes.append("longest wait")
    if answer.go_now and answer.due_at is None:
        notes.append("go now")
    return row.set_name, left, due, seen, f"{own} over" if row.own_over else own, "; ".join(notes)


def _clock(row: DueRow, now: datetime) -> LoopClock:
    answer = row.answer
    return read_clock(began=answer.since, due=answer.due_at, at=now, verified=answer.verified)


def _rules(rows: Sequence[DueRow]) -> list[str]:
    """Give each rule once, with its source and how surely that is known."""
    seen: dict[str, list[str]] = {}
    for row in rows:
        answer = row.answer
        if answer.words:
            text = f"{answer.profile}: {answer.words} [{answer.form or 'rule'}]; {answer.citation}"
            seen.setdefault(text, []).append(row.set_name)
    return [f"Rule for {_names(names, len(rows))}: {text}" for text, names in seen.items()]


def _shared(rows: Sequence[DueRow]) -> list[str]:
    """Give what has to be said or confirmed once, with the sets it is about."""
    lines: list[str] = []
    for label, pick in (("To know", "said"), ("Confirm", "confirm"), ("Advice", "advisories")):
        seen: dict[str, list[str]] = {}
        for row in rows:
            for sentence in getattr(row.answer, pick):
                seen.setdefault(sentence, []).append(row.set_name)
        lines += [f"{label} ({_names(names, len(rows))}): {text}." for text, names in seen.items()]
    return lines


def _names(names: Sequence[str], total: int) -> str:
    if len(names) == total:
        return "all sets"
    return ", ".join(names) if len(names) <= 8 else f"{', '.join(names[:6])} and {len(names) - 6} more"


def due_document(rows: Sequence[DueRow], *, settings: Settings, now: datetime) -> dict[str, Any]:
    """Give the board as JSON can hold it; times in the person's zone."""
    return {
        "line": settings.name,
        "invented": settings.invented,
        "now": rfc3339(now, settings.zone),
        "overdue": sum(row.answer.verdict is Verdict.OVERDUE for row in rows),
        "sets": [_set_document(row, settings) for row in rows],
    }


def _set_document(row: DueRow, settings: Settings) -> dict[str, Any]:
    answer, zone = row.answer, settings.zone

    def instant(when: datetime | None) -> str | None:
        return None if when is None else rfc3339(when, zone)

    return {
        "set": row.set_name,
        "parcel": row.parcel,
        "landmark": row.landmark,
        "working": row.working,
        "verdict": answer.verdict.value,
        "verified": answer.verified,
        "due_at": instant(answer.due_at),
        "act_by": instant(answer.act_by),
        "hours_left": _rounded(row.hours_left),
        "share_left": _rounded(row.share_left),
        "last_seen": instant(row.last_seen),
        "waited_h": _rounded(row.waited_h),
        "longest_wait": row.longest_wait,
        "own_due": instant(row.own_due),
        "own_hours_left": _rounded(row.own_hours_left),
        "profile": answer.profile,
        "rule": answer.rule,
        "form": answer.form,
        "words": answer.words,
        "status": answer.status.value,
        "citations": [str(citation) for citation in answer.citations],
        "said": list(answer.said),
        "confirm": list(answer.confirm),
        "advisories": list(answer.advisories),
        "others": [
            {"rule": o.rule, "words": o.words, "due_at": instant(o.due_at), "citation": str(o.citation)}
            for o in answer.others
        ],
        "marks": list(row.marks),
        "go_now": answer.go_now,
    }


def _rounded(number: float | None) -> float | None:
    return None if number is None else round(number, 3)
