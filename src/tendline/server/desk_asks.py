"""Owns the list of everything the desk page may ask.

Does not own the answers: each stands in the file of its view.
"""

from tendline.server.desk_ask import Ask
from tendline.server.desk_line import LINE
from tendline.server.desk_loop import LOOP
from tendline.server.desk_note import NOTE
from tendline.server.desk_start import START
from tendline.server.desk_tonight import TONIGHT
from tendline.server.desk_weeks import WEEKS
from tendline.server.desk_work import WORK

ASKS: tuple[Ask, ...] = (
    *LINE,
    *TONIGHT,
    *WEEKS,
    *START,
    *NOTE,
    *LOOP,
    *WORK,
)
"""Everything, in the order of the reference page."""
