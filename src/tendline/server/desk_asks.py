"""Owns the list of everything the desk page may ask.

Does not own the answers: each stands in the file of its view.
"""

from tendline.server.desk_ask import Ask
from tendline.server.desk_gear import GEAR
from tendline.server.desk_ground import GROUND
from tendline.server.desk_import import IMPORT
from tendline.server.desk_line import LINE
from tendline.server.desk_loop import LOOP
from tendline.server.desk_note import NOTE
from tendline.server.desk_papers import PAPER_ASKS
from tendline.server.desk_record import RECORD
from tendline.server.desk_season import SEASON
from tendline.server.desk_settings import SETTINGS
from tendline.server.desk_start import START
from tendline.server.desk_tonight import TONIGHT
from tendline.server.desk_weeks import WEEKS
from tendline.server.desk_work import WORK

ASKS: tuple[Ask, ...] = (
    *LINE,
    *START,
    *SETTINGS,
    *TONIGHT,
    *WEEKS,
    *GROUND,
    *IMPORT,
    *LOOP,
    *GEAR,
    *SEASON,
    *NOTE,
    *RECORD,
    *PAPER_ASKS,
    *WORK,
)
"""Everything, in the order of the reference page."""
