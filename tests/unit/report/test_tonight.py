"""Cards of the evening, from documents put together by hand."""

from datetime import UTC, datetime
from typing import Any

from tendline.core.line import Device, DeviceState, PartStock
from tendline.core.words import DeviceClass
from tendline.report.tonight import MOST, balance_card, due_card, law_card, stock_card, weather_card


def row(name: str, verdict: str, due: str | None, hours: float | None) -> dict[str, Any]:
    return {
        "set": name,
        "verdict": verdict,
        "landmark": "post",
        "due_at": due,
        "act_by": None,
        "hours_left": hours,
    }


def round_(**looks: str) -> dict[str, Any]:
    visits = [{"set": name, "look": look} for name, look in looks.items()]
    return {"stops": [{"visits": visits}], "expected": {"spare_devices": 2}}


BOARD = {
    "sets": [
        row("A", "overdue", "2027-01-15T18:00:00-05:00", -2.0),
        row("B", "due", "2027-01-16T06:00:00-05:00", 10.0),
        row("C", "due", "2027-01-18T06:00:00-05:00", 58.0),
        row("D", "not verified", None, None),
    ]
}


def test_what_runs_out_before_the_round_is_there_is_for_tonight() -> None:
    """The same minute in two zones: 05:59 of New York is before 12:00 in London, 07:00 is not."""
    calm = due_card({"sets": BOARD["sets"][1:]}, round_(B="2027-01-16T10:59:00+00:00"))
    assert (calm["state"], calm["items"][0]["words"]) == ("look", "due, post")
    late = due_card({"sets": BOARD["sets"][1:]}, round_(B="2027-01-16T07:00:00-05:00"))
    assert (late["state"], late["items"][0]["words"]) == ("act", "go tonight, post")
    assert late["said"][0] == "1 runs out before tomorrow's round is there"


def test_the_worst_stands_first_and_what_is_far_off_is_left_out() -> None:
    card = due_card(BOARD, None)
    assert [item["name"] for item in card["items"]] == ["A", "B", "D"]
    assert card["said"] == ["1 set is overdue", "1 is due within 36 h", "1 has no verified limit"]
    assert due_card({"sets": []}, None)["state"] == "fine"


def finding(holds: str, name: str, rule: str = "r", said: str = "") -> dict[str, Any]:
    told = [said] if said else []
    words = {"words": "Words of the rule.", "said": told, "due_at": None, "subject": "set"}
    return {"profile": "p", "rule": rule, "holds": holds, "name": name, **words}


def test_what_is_not_verified_is_told_once_for_each_rule() -> None:
    found = [finding("not verified", name, said="no") for name in ("A", "B")] + [finding("pass", "C")]
    card = law_card({"findings": found})
    assert (card["state"], card["said"]) == ("look", ["2 are not verified"])
    assert [item["name"] for item in card["items"]] == ["A"]
    wrong = law_card({"findings": [*found, finding("fail", "E"), finding("fail", "E")]})
    assert (wrong["state"], wrong["items"][0]) == (
        "act",
        {"name": "E", "words": "fail: Words of the rule.", "when": None, "view": "record", "target": "E"},
    )
    assert [item["name"] for item in wrong["items"]] == ["E", "A"]
    assert law_card({"findings": []})["said"] == ["nothing against the law in force is on record"]


def device(tag: str, state: DeviceState) -> Device:
    return Device(tag, DeviceClass.LIVE_RESTRAINT, state, None, datetime(2027, 1, 1, tzinfo=UTC))


def test_spares_wanted_tomorrow_are_held_against_what_is_fit() -> None:
    devices = [device("1", DeviceState.STOCK), device("2", DeviceState.FIELD)]
    card = stock_card([PartStock("swivel", None, 0)], devices, [], round_())
    assert card["said"] == [
        "tomorrow wants 2 spare devices; fit and in stock: 1",
        "1 sort of part has run out",
    ]
    assert stock_card([], devices, [], None)["state"] == "fine"


def test_a_ledger_that_does_not_add_up_is_for_tonight() -> None:
    assert balance_card([], [], 0)["state"] == "fine"
    assert balance_card([], ["W"], 1)["state"] == "look"
    assert balance_card(["two are gone"], [], 0)["state"] == "act"


def test_a_forecast_that_is_not_there_is_not_fair_weather() -> None:
    card = weather_card(None, "no forecast was handed in")
    assert (card["state"], card["said"]) == ("look", ["no forecast was handed in"])
    sets = [{"set": "A", "tonight": True, "do": "raise", "why": ["snow"], "when": "2027-01-15"}]
    found = weather_card({"sets": sets, "forecast": {"said": "It is no measurement."}})
    assert (found["state"], found["items"][0]["words"]) == ("act", "raise: snow")
    assert found["said"][-1] == "It is no measurement."


def test_a_long_card_is_cut_and_says_so() -> None:
    many = [row(f"S{k}", "overdue", "2027-01-15T18:00:00-05:00", -1.0) for k in range(MOST + 5)]
    card = due_card({"sets": many}, None)
    assert (len(card["items"]), card["more"]) == (MOST, 5)
