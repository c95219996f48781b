"""Owns two sources that word one duty differently: the stricter answers, and that is said aloud.

Does not own the findings (`rules.judge`).
"""

from collections.abc import Sequence
from dataclasses import replace

from tendline.rules.finding import Finding, Holds
from tendline.rules.quantities import in_unit
from tendline.rules.shape import Profile

_ORDER = tuple(Holds)


def one_of_rivals(profile: Profile, findings: Sequence[Finding]) -> list[Finding]:
    """Put each pair of rivals into the stricter of the two; the other is told in it, with its source."""
    by_rule = {finding.rule: finding for finding in findings}
    for rule in profile.rules:
        one, other = by_rule.get(rule.id), by_rule.get(rule.rival)
        if one is None or other is None:
            continue
        first, second = sorted((one, other), key=_strictness)
        if Holds.NOT_APPLICABLE in (first.holds, second.holds):
            continue
        del by_rule[second.rule]
        limit = second.shown.limit_words if second.shown is not None else second.words
        said = f"two sources differ; this is the stricter. The other ({second.citations[0]}): {limit}"
        by_rule[first.rule] = replace(
            first,
            said=(*first.said, said),
            citations=(*first.citations, *second.citations),
            kinds=tuple(sorted({*first.kinds, *second.kinds})),
        )
    return list(by_rule.values())


def _strictness(finding: Finding) -> tuple[int, float, float, str]:
    due = finding.due_at.timestamp() if finding.due_at is not None else float("inf")
    share = 0.0
    if finding.shown is not None:
        share = finding.shown.margin / in_unit(1.0, finding.shown.unit)  # SI: two laws may differ in unit
    return _ORDER.index(finding.holds), due, share, finding.rule
