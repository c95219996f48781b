"""A small invented line for tests of the field page: four sets, two parkings, one profile."""

from pathlib import Path

from tests.journeys.run import done

EVENING = "2027-01-11T20:00-05:00"
MORNING = "2027-01-12T06:00-05:00"
SETS = {"N1": "-78.010,41.510", "N2": "-78.011,41.511", "N3": "-78.012,41.512", "S1": "-78.030,41.500"}


def small_line(folder: Path) -> str:
    """Make the line on disk; every set was looked at on Monday at six."""
    line = str(folder)
    done(
        *("start", line, "--zone", "America/New_York", "--handler", "Ann Example", "--home=-78.02,41.505"),
        *("--profile", "xx-demo"),
    )
    at = ("--line", line, "--at", EVENING)
    for name, square in {
        "mill": "-78.02,41.50 -78.00,41.50 -78.00,41.52 -78.02,41.52",
        "kiln": "-78.04,41.49 -78.021,41.49 -78.021,41.51 -78.04,41.51",
    }.items():
        done("note", "parcel", name, "--outline", square, "--owner", "Jo Mill (invented)", *at)
    done("note", "parking", "gate", "--parcels", "mill", "--at-place=-78.009,41.509", *at)
    done("note", "parking", "road", "--parcels", "kiln", "--at-place=-78.029,41.499", *at)
    for number, (name, place) in enumerate(SETS.items()):
        made = ("--happened", "2027-01-11T06:00-05:00", f"--at-place={place},5", "--tag", str(101 + number))
        parcel = "kiln" if name == "S1" else "mill"
        done("note", "set-made", name, "--parcel", parcel, "--landmark", f"post {name}", *made, *at)
    return line
