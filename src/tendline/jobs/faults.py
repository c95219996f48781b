"""Owns the fault codes of the jobs: the line folder, its settings, what is written on the command line.

Does not own the faults of the rooms the jobs call.
"""

from tendline.core.errors import Code

NO_LINE = Code("JOB-101", "There is no line folder here.")
LINE_EXISTS = Code("JOB-102", "There is a line folder here already.")
NOT_EMPTY = Code("JOB-103", "The folder is not empty.")
CANNOT_WRITE = Code("JOB-104", "The folder cannot be written.")
SETTINGS_BROKEN = Code("JOB-201", "line.toml cannot be read.")
SETTING_UNKNOWN = Code("JOB-202", "line.toml has a key that is not known.")
SETTING_VALUE = Code("JOB-203", "A value in line.toml cannot be used.")
SETTING_MISSING = Code("JOB-204", "line.toml lacks a value that is needed.")
WORD = Code("JOB-301", "A word on the command line cannot be used.")
NO_EVENT = Code("JOB-302", "No event, or more than one, answers to that id.")
NO_ROUND = Code("JOB-401", "There is nothing to plan a round from.")
NO_PARKING = Code("JOB-402", "A set has no parking that it can be walked from.")
NO_GROUND = Code("JOB-403", "There is no ground to be drawn.")
NO_HEIGHTS = Code("JOB-404", "No elevation model brought in reaches the line.")
NOT_SCOUTED = Code("JOB-411", "There is no elevation model to scout on.")
WEIGHTS = Code("JOB-412", "A file of travel weights cannot be used.")
NOWHERE = Code("JOB-413", "The area to scout cannot be used.")
PREDICTION = Code("JOB-414", "There is no prediction of travel to compare with.")
NO_SPOT = Code("JOB-421", "A file that was named for its spots has none in it.")
SHEET = Code("JOB-502", "A confirmation sheet cannot be used.")
PROFILE_EXISTS = Code("JOB-503", "There is a profile of one's own by that name already.")
NO_PHONE = Code("JOB-601", "No paired phone is called that.")
PHONE_FILE = Code("JOB-602", "A photo or voice note of a phone cannot be kept.")
NOTHING = Code("JOB-611", "There is nothing for a paper or a file to show.")
PHOTO_NAME = Code("JOB-612", "A photograph is of no set.")
KEPT_PLAN = Code("JOB-613", "A file in papers/ is no plan that tendline kept there, or is broken.")
