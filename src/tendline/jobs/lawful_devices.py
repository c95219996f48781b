"""Owns what is told beside the law of devices whose cable is out until rebuilt.

Does not own what puts one out (`logbook.devices`) or the law of how a device is built (`rules`).
"""

from tendline.core.line import LineState
from tendline.core.when import clock_text, local_day
from tendline.jobs.lawful_facts import LawCase
from tendline.jobs.workspace import Workspace
from tendline.report.lawful_text import Judged
from tendline.rules.finding import Finding, Holds
from tendline.rules.nouns import Subject

INSPECTION = "inspection"
"""What stands in the place of a profile, for an answer of the trade and not of a law."""


def out_until_rebuilt(space: Workspace, line: LineState, case: LawCase) -> list[Judged]:
    """Say that the cable of a device is out until rebuilt: wrong in the field, to be known in stock."""
    device = line.devices.get(case.name) if case.subject is Subject.DEVICE else None
    if device is None or not device.out or device.out_since is None:
        return []
    zone = space.settings.zone
    hangs = f"it hangs at set {device.at_set}" if device.at_set else "it is in stock"
    found = Finding(
        rule="rebuilt",
        topic="device",
        kinds=(),
        subject=Subject.DEVICE,
        name=device.tag,
        holds=Holds.FAIL if device.at_set else Holds.ADVISORY,
        verified=False,
        words="A cable that held an animal, is kinked, frayed or bird-caged is out until it is rebuilt.",
        day=local_day(space.now, zone),
        said=(
            f"{device.out_why}, {clock_text(device.out_since, zone)}; {hangs}",
            "common practice, no source; no law is read here",
        ),
        confirm=(f"give it a new cable and note device-rebuilt {device.tag}, or swap it for another",),
    )
    return [Judged(INSPECTION, found)]
