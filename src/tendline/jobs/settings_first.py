"""Owns the first `line.toml` of a line: every setting shown and explained.

Does not own reading it (`settings_file`).
"""

from tendline.core.place import LonLat
from tendline.core.units import Units


def first_settings(
    *,
    name: str,
    zone: str,
    units: Units,
    handler: str,
    home: LonLat | None,
    profiles: tuple[str, ...],
    invented: bool,
) -> str:
    """Write the first `line.toml` of a line, with every setting shown and explained.

    Returns
    -------
    str
        TOML text that `read_settings` accepts.
    """
    home_line = f"home = [{home.lon}, {home.lat}]" if home else "# home = [-78.0, 41.5]"
    mark = (
        "\n# This line is an invented example in an invented place; every output says so.\ninvented = true\n"
    )
    return f"""# The settings of this line. Times in minutes. Lines that start with # are off.
name = {_quoted(name)}
zone = {_quoted(zone)}
units = "{units.value}"            # "us" or "metric"
handler = {_quoted(handler)}
{home_line}   # where outings start and end: longitude, latitude
# Rule profiles in use; the first is the default. `tendline due` says what to confirm.
profiles = [{", ".join(_quoted(p) for p in profiles)}]
{mark if invented else ""}
# Answers to a profile's questions that hold for the whole line.
[answers]
# river-side = "east"

# Your own word that you went through a profile with this season's official text.
# [[confirmed]]
# profile = "us-pa"
# on = 2026-11-01
# until = 2027-02-22
# note = "read the digest; asked the officer about the interval"

# Your licences and certificates, by the word a rule profile asks for.
# [[papers]]
# kind = "cable-restraint-course"
# first = 2020-09-12
# carried = true

# Who else may go round, by the name they note things under.
# [[people]]
# name = "Ben"
# phone = "555-0100"
# leave = true       # holds your written leave to look at your sets
# papers = [{{ kind = "trapping-licence", last = 2027-06-30 }}]

[person]
# landowner = false   # of the land the sets stand on; resident, occupant, family_of_owner, agent_of_owner
# lacks = ["bobcat-permit"]

[law]
sure = 0.99        # chance from which a distance is no longer too close to call
# drawn = ["dwelling", "road"]   # all of these near the line are drawn in the files you brought
# holidays = [2027-01-01, 2027-01-18]
# quotas = {{ otter-quota = "not yet" }}   # by the profile's rule, or the date the quota was reached

[personal]
hours = 24         # your own longest time between looks; the law stays beside it
before = "10:00"   # every working set looked at by then

[time]
park_min = 3
look_min = 1
fix_min = 6
fix_share = 0.1
catch_min = 25
catches_per_100_nights = 1

[weeks]
# keep = ["sat=N1,N2,N3"]   # rounds of your own that every plan must keep
# storm_mornings = 0.1      # share of mornings on which all travel takes longer

[walk]
model = "tobler-1993"   # which curve and why: how-to page "round"
own = 1.0          # your time against that curve; `tendline learn` offers yours
off_path = 0.6     # speed off the path as a share of speed on it
snow = 1.0         # today's snow: 1 bare, 1.5 and more in deep snow
# sink_in = 8      # or how deep a foot sinks, and the time follows (sink_cm in metric)
# path_snow = 1.1  # the same on trodden or ploughed paths
# load_lb = 30     # what you carry (load_kg in metric), against your own weight:
# body_lb = 175
# dark = 1.2       # time in the dark, against daylight
paths = "drawn"    # roads, trails and tracks without times are paths; "all" takes recorded tracks too
detour = 1.3       # only without an elevation model
steepest_deg = 45

[drive]
speed_kmh = 40     # only where you gave no minutes
detour = 1.4
"""


def _quoted(text: str) -> str:
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(c if c >= " " and c != "\x7f" else f"\\u{ord(c):04x}" for c in escaped) + '"'
