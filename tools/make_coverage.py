"""Owns the register of coverage: for every shipped rule profile what is held, how surely, when it was read.

Does not own the profiles (`src/tendline/rules/packs`). Run as `python -m tools.make_coverage` after a change.
"""

from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from tendline.core.source import Status
from tendline.core.words import DeviceClass
from tendline.rules.dated import Began, History
from tendline.rules.forms import Advice, NotKnown
from tendline.rules.load import load_profile, shipped_profiles
from tendline.rules.needs import NotHeld
from tendline.rules.shape import Profile
from tendline.rules.windows import Curfew

ROOT = Path(__file__).resolve().parent.parent
PAGE = ROOT / "docs" / "reference" / "coverage.md"
MADE = "<!-- Made by `python -m tools.make_coverage`; do not edit. -->\n"
NOT_FOUND = "not found"
COLUMNS = ("text seen", "agency page", "secondary", "from memory", "unknown", NOT_FOUND)

Line = tuple[str, str, str, str, str]
"""Table, id, meaning, how known, since when."""


def how_known(history: History[Any]) -> str:
    """Say how the value held last is known; a value looked for and not found is that, whatever it cites."""
    term = history.terms[-1]
    if isinstance(term.value, NotHeld | NotKnown):
        return NOT_FOUND
    return term.status.value


def _since(history: History[Any]) -> str:
    term = history.terms[-1]
    return f"in force {term.day}" if term.began is Began.IN_FORCE else f"seen for {term.day}"


def lines(profile: Profile) -> Iterator[Line]:
    """Give one line for every rule of a profile."""
    named: list[tuple[str, str, str, History[Any]]] = []
    named += [("ban", ban.id, ban.meaning, ban.history) for ban in profile.bans]
    named += [("check", rule.id, rule.meaning, rule.history) for rule in profile.checks]
    named += [("who", rule.id, rule.meaning, rule.history) for rule in profile.who]
    named += [(rule.topic.value, rule.id, rule.meaning, rule.history) for rule in profile.rules]
    named += [("fact", fact.id, fact.meaning, fact.history) for fact in profile.facts.values()]
    for table, name, meaning, history in named:
        yield table, name, meaning, how_known(history), _since(history)


def _check_status(profile: Profile) -> str:
    """Say how the intervals at which a live restraint must be looked at are known, the surest first."""
    order = [status.value for status in Status] + [NOT_FOUND]
    clocks = [
        rule
        for rule in profile.checks
        if DeviceClass.LIVE_RESTRAINT in rule.scope.classes
        and not isinstance(rule.history.terms[-1].value, Curfew | Advice)
    ]
    known = {how_known(rule.history) for rule in clocks}
    return ", ".join(sorted(known, key=order.index)) or "none held"


def _outright(profile: Profile) -> str:
    bans = [b for b in profile.bans if DeviceClass.LIVE_RESTRAINT in b.scope.classes]
    if not bans:
        return ""
    status = bans[0].history.terms[-1].status
    return f"prohibited ({status.value})" if status.may_bind else f"not lawful? ({status.value})"


def _overview(profiles: list[Profile]) -> list[str]:
    head = ("Profile", "Place", "State", "Read", "Outright", "Check rule known as", "Rules", *COLUMNS)
    rows = []
    for profile in profiles:
        held = list(lines(profile))
        counted = Counter(known for *_, known, _ in held)
        state = "invented" if profile.invented else profile.state.value
        counts = [str(counted[column] or "") for column in COLUMNS]
        checks = _check_status(profile)
        row = (f"`{profile.id}`", profile.title, state, str(profile.reviewed), _outright(profile), checks)
        rows.append(_row((*row, str(len(held)), *counts)))
    return [_row(head), "|" + "---|" * len(head), *rows]


def _section(profile: Profile) -> list[str]:
    head = ("Table", "Id", "What it says", "How known", "Since")
    body = [
        _row((table, f"`{name}`", meaning, known, since))
        for table, name, meaning, known, since in lines(profile)
    ]
    return [
        f"## `{profile.id}`: {profile.title}\n",
        f"{profile.about}\n",
        _row(head),
        "|---|---|---|---|---|",
        *body,
        "",
    ]


def _row(cells: tuple[str, ...]) -> str:
    return "| " + " | ".join(cells) + " |"


def coverage_page() -> str:
    """Write docs/reference/coverage.md."""
    profiles = [load_profile(name) for name in shipped_profiles()]
    parts = [
        MADE,
        "# Coverage: what is held of the law, place by place\n",
        "Every shipped profile is an example to be confirmed, read from archived copies of public pages and",
        "never checked against the law of today. What is from memory, unknown or not found answers",
        '"not verified". A place that is not here is not covered at all. How a value is known:\n',
        "- text seen: the wording of the law itself was read;",
        "- agency page: a page, digest or notice of the agency;",
        "- secondary: a copy, an association, a newspaper, a summary;",
        "- from memory: a lead, which answers nothing;",
        "- unknown: written down without a source that says it, which answers nothing;",
        "- not found: looked for, and not found in what was read.\n",
        "The numbers count rules by how the value held last is known.\n",
        *_overview(profiles),
        "",
    ]
    for profile in profiles:
        parts += _section(profile)
    return "\n".join(parts)


def main() -> None:
    """Write the page if it is not as it should be."""
    text = coverage_page()
    if not PAGE.exists() or PAGE.read_text(encoding="utf-8") != text:
        PAGE.write_text(text, encoding="utf-8")
        print(f"written: {PAGE.relative_to(ROOT)}")


if __name__ == "__main__":
    main()
