"""The browser killed at random moments while checks are noted: none lost, none doubled.

A real browser with a folder of its own, as a phone; `kill -9` of all its processes at a moment drawn anew
each time. Needs Chromium, and the packages of the tests.
"""

import tempfile
from pathlib import Path

from playwright.sync_api import sync_playwright

from tests.browser import killed_at_random, live_line, served

PHONES, KILLS = 10, 20
"""A phone holds 300 sets: enough for so many rounds of noting."""


def main() -> None:
    """Print what came of the kills."""
    shown, lost, doubled, more = 0, 0, 0, 0
    with sync_playwright() as playwright, tempfile.TemporaryDirectory() as folder:
        for phone in range(PHONES):
            home = Path(folder) / f"{phone}"
            home.mkdir()
            with served(live_line(home / "line")) as machine:
                seen, came = killed_at_random(playwright, machine, home / "phone", rounds=KILLS, seed=phone)
            shown += len(seen)
            lost += len(set(seen) - set(came))
            doubled += len(came) - len(set(came))
            more += len(set(came) - set(seen))
    print(
        f"browser killed at {PHONES * KILLS} random moments: {shown} checks shown as saved, lost {lost},"
        f" doubled {doubled}; {more} more were on the disk before they could be shown"
    )


if __name__ == "__main__":
    main()
