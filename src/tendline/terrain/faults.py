"""Owns the fault codes of walking on grids.

Does not own their wording in use, which stands where the fault is found.
"""

from tendline.core.errors import Code

OUTSIDE = Code("TERR-101", "A place lies outside the elevation model.")
UNKNOWN_HEIGHT = Code("TERR-102", "A place lies where the elevation model has no height.")
IN_BARRIER = Code("TERR-103", "A place lies inside ground that cannot be crossed.")
TOO_STEEP = Code("TERR-104", "A place lies on ground steeper than is walked.")
COSTS = Code("TERR-105", "A walking cost is out of range.")
BARRIER_EMPTY = Code("TERR-111", "A barrier is neither an area nor a line.")
BARRIER_SECONDS = Code("TERR-112", "The time to get over a barrier is out of range.")
CROSSING_ASTRAY = Code("TERR-113", "A crossing does not touch its barrier.")
BARRIER_ASTRAY = Code(
    "TERR-115", "A barrier lies where the elevation model's coordinate system does not reach."
)
NO_CURRENT = Code("TERR-121", "Current cannot flow through the ground as it was told.")
NOT_SOLVED = Code("TERR-122", "The flow of current was not found to the accuracy wanted.")
NO_CLUSTER = Code("TERR-131", "The scheduler of the cluster does not answer.")
TOO_MANY_BARRIERS = Code("TERR-114", "Too many different barriers lie in one piece of ground.")
"""Every reason for which a walk is not worked out."""
