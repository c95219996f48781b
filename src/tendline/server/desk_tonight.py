"""Owns what the desk page asks for its first view: the cards of tonight, tomorrow's round, the forecast.

Does not own the answers (`jobs.tonight`, `jobs.forecast_kept`).
"""

import contextlib

from tendline.core.errors import TendlineError
from tendline.jobs.answer import Answer
from tendline.jobs.forecast_kept import keep_forecast
from tendline.jobs.round import planned_document
from tendline.jobs.tonight import tonight, tonight_law, tonight_weather
from tendline.server.desk_ask import Ask, Body, Here
from tendline.server.desk_fields import TEXT


def _tonight(here: Here, _body: Body) -> Answer:
    planned, why = here.desk.planned()
    round_ = None if planned is None else planned_document(planned)
    return tonight(here.desk.space(), round_, why, odd=here.desk.state()["odd"])


def _law(here: Here, _body: Body) -> Answer:
    return here.kept("law", lambda: tonight_law(here.desk.space()))


def _weather(here: Here, _body: Body) -> Answer:
    return here.kept("weather", lambda: tonight_weather(here.desk.space()))


def warm(here: Here) -> None:
    """Work out what takes long before anybody asks for it."""
    with contextlib.suppress(TendlineError):  # told when it is asked for
        _law(here, {})
        _weather(here, {})


def _forecast(here: Here, body: Body) -> Answer:
    answer = keep_forecast(here.desk.space(), words=body["words"])
    here.forget("weather")
    return answer


def _plan(here: Here, _body: Body) -> Answer:
    why = here.desk.plan()
    return Answer("", {"why": why}, bad_news=bool(why))


TONIGHT = (
    Ask("tonight", "Tell what matters tonight, and tomorrow's round.", _tonight, gives="tonight"),
    Ask("tonight-law", "Tell what is not lawful, or not verified.", _law, gives="tonight"),
    Ask("tonight-weather", "Tell what the coming weather spoils.", _weather, gives="tonight"),
    Ask("forecast", "Hand in a forecast in words.", _forecast, {"words": TEXT}, ("words",)),
    Ask("plan", "Plan tomorrow's round anew.", _plan),
)
