"""Owns the answers of the law as text and as one JSON document: what is wrong, what cannot be told, the rest.

Does not own the answers themselves (`rules.judge`).
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from tendline.core.settings import Settings
from tendline.core.when import clock_text, rfc3339
from tendline.report.say import INVENTED
from tendline.report.table import fold
from tendline.rules.finding import OPEN, WRONG, Finding, Holds

HOLDS_NOWHERE = "this law is invented and holds nowhere"
"""What the law room says of an invented profile; on screen the heading says it once."""

MOST_DETAILS = 4
"""So many different details of one rule are told on screen; the others are named."""

ADVICE_LINE = "Not legal advice. What is not verified is not allowed. Ask the agency; carry its text."


@dataclass(frozen=True)
class Judged:
    """A finding with the profile it was made under (empty when none is in use)."""

    profile: str
    finding: Finding


_HEADINGS = (
    ("WRONG", WRONG),
    ("CANNOT BE TOLD", OPEN),
    ("TO BE DONE", (Holds.DUE,)),
    ("ADVICE", (Holds.ADVISORY,)),
)


def lawful_text(
    judged: Sequence[Judged], *, settings: Settings, now: datetime, width: int = 100, everything: bool = False
) -> str:
    """Write the answers for a terminal, summary first.

    Parameters
    ----------
    judged
        Every answer.
    settings
        For the zone and the line's name.
    now
        The moment judged for.
    width
        Of the terminal [characters].
    everything
        List what passes and what does not apply as well.
    """
    invented = settings.invented or any(HOLDS_NOWHERE in one.finding.said for one in judged)
    lines = [INVENTED, ""] if invented else []
    count = Counter(one.finding.holds for one in judged)
    parts = [f"{number} {holds.value}" for holds in Holds if (number := count[holds])]
    summary = ", ".join(parts) or "nothing to judge"
    lines.append(f"{settings.name}, {clock_text(now, settings.zone)}: {summary}.")
    headings = [*_HEADINGS, *((("IN ORDER", (Holds.PASS, Holds.NOT_APPLICABLE)),) if everything else ())]
    for heading, which in headings:
        chosen = [one for one in judged if one.finding.holds in which]
        lines += _section(heading, chosen, settings.zone, width)
    return "\n".join([*lines, "", ADVICE_LINE])


def _section(heading: str, judged: Sequence[Judged], zone: ZoneInfo, width: int) -> list[str]:
    if not judged:
        return []
    lines = ["", heading]
    for (profile, rule, words, holds), group in _by_rule(judged).items():
        first = group[0].finding
        source = first.citation or "no citation"
        lines += _folded(f"- {holds.value}: {words} [{profile} {rule}; {source}]", width)
        details = _by_detail(group, zone)
        shown = dict(list(details.items())[: MOST_DETAILS if len(details) > MOST_DETAILS + 1 else None])
        for detail, names in shown.items():
            lines += _folded(f"    {_names(names)}{': ' if detail else ''}{detail}", width)
        rest = [name for detail, names in details.items() if detail not in shown for name in names]
        if rest:
            lines += _folded(f"    and of the same kind: {_names(rest)} (--json tells each)", width)
    return lines


def _by_rule(judged: Sequence[Judged]) -> dict[tuple[str, str, str, Holds], list[Judged]]:
    groups: dict[tuple[str, str, str, Holds], list[Judged]] = {}
    for one in judged:
        found = one.finding
        groups.setdefault((one.profile, found.rule, found.words, found.holds), []).append(one)
    return groups


def _by_detail(group: Sequence[Judged], zone: ZoneInfo) -> dict[str, list[str]]:
    details: dict[str, list[str]] = {}
    for one in group:
        name = f"{one.finding.subject.value} {one.finding.name}"
        details.setdefault(_detail(one.finding, zone), []).append(name)
    return details


def _detail(finding: Finding, zone: ZoneInfo) -> str:
    parts: list[str] = []
    if finding.shown is not None:
        shown = finding.shown
        margin = f"margin {shown.margin:+.3g} {shown.unit}"
        parts.append(f"{shown.value_words}; limit {shown.limit_words}; {margin}")
    if finding.due_at is not None:
        word = "since" if finding.holds is Holds.OVERDUE else "by"
        parts.append(f"{word} {clock_text(finding.due_at, zone)}")
    if finding.probability is not None:
        parts.append(f"on the right side with {finding.probability:.0%}")
    parts += [sentence for sentence in finding.said if sentence != HOLDS_NOWHERE]
    if finding.holds in (*OPEN, *WRONG):
        parts += finding.confirm
    return "; ".join(parts)


def _names(names: Sequence[str]) -> str:
    kinds: dict[str, list[str]] = {}
    for name in dict.fromkeys(names):
        kind, _, rest = name.partition(" ")
        kinds.setdefault(kind, []).append(rest)
    return "; ".join(f"{kind} {_some(rest)}" for kind, rest in kinds.items())


def _some(names: Sequence[str]) -> str:
    return ", ".join(names) if len(names) <= 10 else f"{', '.join(names[:8])} and {len(names) - 8} more"


def _folded(text: str, width: int) -> Iterable[str]:
    indent = " " * (len(text) - len(text.lstrip(" ")) + 2)
    first, *rest = fold(text.strip(), width - len(indent))
    yield indent[2:] + first
    for line in rest:
        yield indent + line


def lawful_document(judged: Sequence[Judged], *, settings: Settings, now: datetime) -> dict[str, Any]:
    """Give the answers as JSON can hold them."""
    count = Counter(one.finding.holds for one in judged)
    return {
        "line": settings.name,
        "invented": settings.invented,
        "at": rfc3339(now, settings.zone),
        "summary": {holds.value: count[holds] for holds in Holds},
        "findings": [_finding(one, settings.zone) for one in judged],
    }


def _finding(one: Judged, zone: ZoneInfo) -> dict[str, Any]:
    found = one.finding
    shown = found.shown
    return {
        "profile": one.profile,
        "rule": found.rule,
        "topic": found.topic,
        "kinds": list(found.kinds),
        "subject": found.subject.value,
        "name": found.name,
        "holds": found.holds.value,
        "verified": found.verified,
        "words": found.words,
        "measured": None
        if shown is None
        else {
            "value_si": shown.value,
            "low_si": shown.low,
            "high_si": shown.high,
            "value": shown.value_words,
            "limit": shown.limit_words,
            "margin": shown.margin,
            "unit": shown.unit,
        },
        "due_at": None if found.due_at is None else rfc3339(found.due_at, zone),
        "probability": found.probability,
        "said": list(found.said),
        "confirm": list(found.confirm),
        "citations": [str(citation) for citation in found.citations],
        "status": found.status.value,
        "day": found.day.isoformat(),
    }
