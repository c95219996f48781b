"""Owns what must be done while somebody cannot go, as text for a terminal.

Does not own how it was found (`plan`, `jobs`), nor the same for programs (`report.without_json`).
"""

from collections.abc import Sequence
from datetime import date, datetime

from tendline.core.units import format_distance
from tendline.report.say import INVENTED, clock, count, plain
from tendline.report.table import Across, Column, Row, draw_table, fold
from tendline.report.without_facts import Act, CannotKeep, Closing, WithoutFacts

CAUTION = (
    "Not legal advice: limits are those of the profile you confirmed; ask the officer when in doubt, and "
    "say early that you cannot go. A held animal comes before the clock. A plan is no look: whoever makes "
    "a check notes it."
)

DO = {
    "look": "look",
    "close": "close it",
    "pull": "take it up",
}
"""What is done at a set besides looking, in words."""


def without_text(facts: WithoutFacts, *, width: int = 100) -> str:
    """Write what must be done for a terminal: whom to phone by when first, then what, then why.

    Raises
    ------
    Refused
        REP-103 for a width under 20.
    """
    head = [*([INVENTED, ""] if facts.invented else []), _title(facts), "", *_phones(facts), *_cannot(facts)]
    lines = [part for line in head for part in (fold(plain(line), width) if line else [""])]
    lines += ["", *(part for line in _least(facts) for part in fold(plain(line), width))]
    if facts.outings:
        lines += ["", _outings(facts, width)]
    if facts.acts:
        lines += ["", _acts(facts, width)]
    lines += ["", _people(facts, width), ""] if facts.who else [""]
    foot = [*(f"Note: {sentence}." for sentence in facts.said), CAUTION]
    lines += [part for line in foot for part in fold(plain(line), width)]
    if facts.sheet:
        # The command stands on one line of its own, however long, so that it can be copied.
        lines += ["", "A sheet that finds every one of these sets, for whoever goes:", f"  {facts.sheet}"]
    return "\n".join(lines)


def _title(facts: WithoutFacts) -> str:
    first, last = _day(facts.first), _day(facts.last)
    days = first if facts.first == facts.last else f"{first} to {last}"
    until = _when(facts.kept_until, facts)
    return f"{facts.line} without {_and(facts.without)}, {days}. Limits are kept up to {until}."


def _and(names: Sequence[str]) -> str:
    return " and ".join(names)


def _phones(facts: WithoutFacts) -> list[str]:
    if not facts.acts:
        return ["Nothing falls due: nobody needs to go."]
    lines = []
    for who, by in sorted(facts.phone_by.items(), key=lambda item: item[1]):
        phone = next((one.phone for one in facts.who if one.who == who), "")
        by_words = "NOW" if by <= facts.now else f"by {_when(by, facts)}"
        leave = (
            f"to leave by {_when(facts.leave_by[who], facts)} at the latest" if who in facts.leave_by else ""
        )
        lines.append(
            f"PHONE {who}{f' ({phone})' if phone else ''} {by_words}{f', {leave}' if leave else ''}."
        )
    if not any(one.planned_with for one in facts.who):
        lines.append(
            "NOBODY ON RECORD MAY GO: find somebody who may, or phone the officer, before a limit passes."
        )
    return lines


def _cannot(facts: WithoutFacts) -> list[str]:
    if not facts.cannot:
        return []
    lines = ["", f"CANNOT BE KEPT ({count(len(facts.cannot), 'set')}): nobody comes in time."]
    looks = {act.set_name: act for act in facts.acts}
    for one in sorted(facts.cannot, key=lambda c: (c.due or facts.now, c.set_name)):
        limit = "limit passed or not known" if one.due is None else f"limit {_when(one.due, facts)}"
        parts = [limit, _in_time(one, facts), _late(looks.get(one.set_name), facts)]
        lines.append(f"  {one.set_name}: {'; '.join(part for part in parts if part)}.")
    return lines


def _in_time(one: CannotKeep, facts: WithoutFacts) -> str:
    """Say who would be in time: whoever leaves by when, and so when they must be phoned."""
    if one.leave_by is None or one.phone_by is None:
        return "go at once"
    if one.leave_by <= facts.now:
        return "too late to drive there in time"
    phone = "NOW" if one.phone_by <= facts.now else f"by {_when(one.phone_by, facts)}"
    return f"somebody who leaves by {_when(one.leave_by, facts)} is in time: phone {phone}"


def _late(act: Act | None, facts: WithoutFacts) -> str:
    if act is None or act.look is None:
        return "nobody comes at all"
    return f"else {act.who} is there late, {_when(act.look, facts)}"


def _least(facts: WithoutFacts) -> list[str]:
    if not facts.acts:
        return []
    total = len(facts.acts)
    counts = {do: sum(act.do == do for act in facts.acts) for do in DO}
    parts = []
    if counts["look"]:
        parts.append(f"at {counts['look']} a look is enough")
    if counts["close"]:
        parts.append(f"at {counts['close']} close it, as no look lasts that long")
    if counts["pull"]:
        parts.append(f"at {counts['pull']} take it up, as no look lasts that long")
    lines = [f"The least: one look at {total} of {facts.in_field} sets; {'; '.join(parts)}."]
    lines += [_closing(one) for one in facts.closing if counts["close"] or counts["pull"]]
    if facts.own_over and facts.own_hours is not None:
        lines.append(
            f"Your own limit of {facts.own_hours:g} h passes at {count(len(facts.own_over), 'set')} before "
            "the planned look: an animal may be waiting there."
        )
    return lines


def _closing(one: Closing) -> str:
    source = f" ({'; '.join(one.cites)})" if one.cites else ""
    if one.stops is None:
        return f"Not verified under {one.profile} that closing stops the clock{source}: take sets up instead."
    if one.stops:
        return f"Under {one.profile} a closed set has no clock{source}: close the soonest due first."
    return f"Under {one.profile} closing does not stop the clock{source}: only taking a set up does."


def _outings(facts: WithoutFacts, width: int) -> str:
    rows: list[Row] = []
    day: date | None = None
    do = {act.set_name: act.do for act in facts.acts}
    marks = {"close": "*", "pull": "+"}
    for one in facts.outings:
        local = one.round.leave.astimezone(facts.zone).date()
        if local != day:
            day = local
            rows.append(Across(f"{local:%A} {local.day} {local:%B}"))
        stops = "; ".join(
            f"{s.parking}: {' '.join(v.set_name + marks.get(do.get(v.set_name, ''), '') for v in s.visits)}"
            for s in one.round.stops
        )
        rows.append(
            [
                one.outing.who,
                clock(one.round.leave, facts.zone),
                clock(one.round.back, facts.zone),
                format_distance(one.metres, facts.units),
                format_distance(one.walked_m, facts.units),
                stops,
            ]
        )
    columns = [
        Column("who"),
        Column("leave"),
        Column("back"),
        Column("driven", right=True),
        Column("walked", right=True),
        Column("in this order", wrap=True),
    ]
    told = [f"{marks[word]} {DO[word]}" for word in ("close", "pull") if word in do.values()]
    return "\n".join([draw_table(columns, rows, width=width), *([", ".join(told)] if told else [])])


def _acts(facts: WithoutFacts, width: int) -> str:
    lasting = any(act.lasts_from is not None for act in facts.acts)
    rows = [
        [
            act.set_name,
            "passed, or not known" if act.due is None else _when(act.due, facts),
            *_look(act, facts),
            *([_lasts(act, facts)] if lasting else []),
            act.landmark,
        ]
        for act in facts.acts
    ]
    columns = [
        Column("set"),
        Column("limit"),
        Column("look planned"),
        Column("by", wrap=True),
        Column("then"),
        *([Column("a look lasts from", wrap=True)] if lasting else []),
        Column("where", wrap=True),
    ]
    return draw_table(columns, rows, width=width)


def _look(act: Act, facts: WithoutFacts) -> tuple[str, str, str]:
    late = act.look is not None and act.due is not None and act.look > act.due
    look = "nobody comes" if act.look is None else _when(act.look, facts) + (" LATE" if late else "")
    return look, act.who, "" if act.do == "look" else DO[act.do]


def _lasts(act: Act, facts: WithoutFacts) -> str:
    return "none does" if act.lasts_from is None else _when(act.lasts_from, facts)


def _people(facts: WithoutFacts, width: int) -> str:
    rows = [[one.who, one.may_word, "; ".join(one.why), one.phone] for one in facts.who]
    columns = [
        Column("who else"),
        Column("by the record", wrap=True),
        Column("why", wrap=True),
        Column("phone", wrap=True),
    ]
    return draw_table(columns, rows, width=width)


def _day(day: date) -> str:
    return f"{day:%a} {day.day} {day:%b}"


def _when(instant: datetime, facts: WithoutFacts) -> str:
    return f"{_day(instant.astimezone(facts.zone).date())} {clock(instant, facts.zone)}"
