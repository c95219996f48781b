"""Owns the fault codes of the server: pages that are not built, addresses that are taken, folders in the way.

Does not own the faults of the jobs it calls.
"""

from tendline.core.errors import Code

NO_PAGES = Code("SRV-101", "The pages for the phone are not built.")
NO_ADDRESS = Code("SRV-102", "The address to serve on cannot be used.")
FOLDER_IN_USE = Code("SRV-103", "The folder to write the pages into holds something else.")
BAD_KEYS = Code("SRV-104", "The keys of the field page cannot be read.")
BAD_ASK = Code("SRV-105", "What the desk page asked has the wrong form.")
NO_WORK = Code("SRV-106", "There is no such work.")
WORK_ENDED = Code("SRV-107", "The work ended without an answer.")
TOO_MUCH_WORK = Code("SRV-108", "Too much work is waiting already.")
NO_FILES = Code("SRV-109", "The files handed over are not held any more.")
CANNOT_HOLD = Code("SRV-110", "A file handed over cannot be held.")
