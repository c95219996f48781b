"""Owns what matters before bed, card by card: what it comes to, the worst first, and where each is mended.

Does not own the answers it is made from: the documents of `due`, `lawful` and `weather`, and the line.

A card is ``{"kind", "state", "said", "items"}``: `state` is `act` (tonight or tomorrow), `look` (not sure, or
soon) or `fine`; an item is ``{"name", "words", "when", "view", "target"}``, and leads to a view of the page.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from typing import Any

from tendline.core.line import Device, DeviceState, PartStock
from tendline.rules.finding import WRONG, Holds

MOST = 40
"""Items told on a card; the rest is counted."""
SOON_H = 36.0
"""Sets due within so many hours are told: tonight, and until after tomorrow's work."""

Document = Mapping[str, Any]


def due_card(board: Document, round_: Document | None) -> dict[str, Any]:
    """Tell what is overdue, what runs out before tomorrow's round is there, and what is due next.

    Parameters
    ----------
    board
        The document of `due`.
    round_
        The document of tomorrow's round; None when there is none.
    """
    looks = {} if round_ is None else {v["set"]: v["look"] for s in round_["stops"] for v in s["visits"]}
    late = [row for row in board["sets"] if row["verdict"] in ("overdue", "prohibited")]
    due = [row for row in board["sets"] if row["verdict"] == "due"]
    before = [row for row in due if round_ is not None and _runs_out(row, looks.get(row["set"]))]
    soon = [row for row in due if row not in before and _within(row["hours_left"])]
    unsure = [row for row in board["sets"] if row["verdict"] in ("not verified", "no clock")]
    said = [
        *_counted(late, "set is overdue", "sets are overdue"),
        *_counted(
            before, "runs out before tomorrow's round is there", "run out before tomorrow's round is there"
        ),
        *_counted(soon, f"is due within {SOON_H:.0f} h", f"are due within {SOON_H:.0f} h"),
        *_counted(unsure, "has no verified limit", "have no verified limit"),
    ]
    items = [_row(row, row["verdict"], row["due_at"]) for row in late]
    items += [_row(row, "go tonight", row["act_by"] or row["due_at"]) for row in before]
    items += [_row(row, row["verdict"], row["due_at"]) for row in (*soon, *unsure)]
    state = "act" if late or before else "look" if soon or unsure else "fine"
    return _card("due", state, said or [f"nothing is due within {SOON_H:.0f} h"], items)


def _row(row: Document, words: str, when: str | None) -> dict[str, Any]:
    return _item(row["set"], f"{words}{_at(row)}", when, "record", row["set"])


def _runs_out(row: Document, look: str | None) -> bool:
    """Say whether a limit passes before the round's look; a set the round leaves out is told of there."""
    return look is not None and datetime.fromisoformat(row["due_at"]) < datetime.fromisoformat(look)


def law_card(document: Document) -> dict[str, Any]:
    """Tell what is not lawful and what is not verified, from the document of `lawful`."""
    wrong = {holds.value for holds in WRONG}
    bad = [one for one in document["findings"] if one["holds"] in wrong]
    close = [one for one in document["findings"] if one["holds"] == Holds.CLOSE.value]
    unknown = [one for one in document["findings"] if one["holds"] == Holds.NOT_VERIFIED.value]
    said = [
        *_counted(bad, "thing is not lawful", "things are not lawful"),
        *_counted(close, "is too close to call", "are too close to call"),
        *_counted(unknown, "is not verified", "are not verified"),
    ]
    items = [_finding(one) for one in (*bad, *close, *_once(unknown))]
    state = "act" if bad else "look" if close or unknown else "fine"
    return _card("law", state, said or ["nothing against the law in force is on record"], items)


def stock_card(
    parts: Sequence[PartStock],
    devices: Iterable[Device],
    out: Sequence[Device],
    round_: Document | None,
) -> dict[str, Any]:
    """Tell what runs out: spares for tomorrow's round, loose parts, devices out until rebuilt.

    Parameters
    ----------
    parts, devices
        As the line has them.
    out
        Devices out until rebuilt.
    round_
        The document of tomorrow's round; None when there is none.
    """
    ready = sum(one.state is DeviceState.STOCK and not one.out for one in devices)
    wanted = 0 if round_ is None else int(round_["expected"]["spare_devices"])
    gone = [part for part in parts if part.count <= 0]
    said = [
        *([f"tomorrow wants {wanted} spare devices; fit and in stock: {ready}"] if wanted > ready else []),
        *_counted(gone, "sort of part has run out", "sorts of parts have run out"),
        *_counted(out, "device is out until rebuilt", "devices are out until rebuilt"),
    ]
    items = [_item(part.name, f"{part.count} left", None, "gear", "parts") for part in gone]
    items += [
        _item(
            one.tag, f"{one.out_why}{f', at set {one.at_set}' if one.at_set else ''}", None, "gear", "stock"
        )
        for one in out
    ]
    return _card("stock", "look" if said else "fine", said or ["nothing on record runs out"], items)


def balance_card(unbalanced: Sequence[str], warnings: Sequence[str], odd: int) -> dict[str, Any]:
    """Tell where the ledger of devices does not add up, and what the record left open."""
    said = [
        *_counted(unbalanced, "device does not add up", "devices do not add up"),
        *_counted(warnings, "entry is to be looked at", "entries are to be looked at"),
        *_counted(range(odd), "message of a phone is held apart", "messages of phones are held apart"),
    ]
    items = [_item("", sentence, None, "record", "") for sentence in (*unbalanced, *warnings)]
    state = "act" if unbalanced else "look" if said else "fine"
    return _card("balance", state, said or ["every device is accounted for"], items)


def weather_card(document: Document | None, said: str = "") -> dict[str, Any]:
    """Tell what the coming weather spoils, from the document of `weather`.

    Parameters
    ----------
    document
        The outlook; None when there is no forecast that covers tonight.
    said
        Why there is none.
    """
    if document is None:
        return _card("weather", "look", [said], [])
    tonight = [one for one in document["sets"] if one["tonight"] and one["do"] != "leave"]
    later = [one for one in document["sets"] if not one["tonight"] and one["do"] != "leave"]
    words = [
        *_counted(tonight, "set needs a hand tonight", "sets need a hand tonight"),
        *_counted(later, "needs one tomorrow or later", "need one tomorrow or later"),
    ]
    items = [
        _item(one["set"], f"{one['do']}: {'; '.join(one['why'][:1])}", one["when"], "loop", one["set"])
        for one in (*tonight, *later)
    ]
    state = "act" if tonight else "look" if later else "fine"
    words = [*(words or ["the forecast spoils no set"]), str(document["forecast"]["said"])]
    return _card("weather", state, words, items)


def _card(kind: str, state: str, said: Sequence[str], items: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    items = list({(i["name"], i["words"], i["when"]): i for i in items}.values())
    return {
        "kind": kind,
        "state": state,
        "said": list(said),
        "items": list(items[:MOST]),
        "more": max(0, len(items) - MOST),
    }


def _item(name: str, words: str, when: str | None, view: str, target: str) -> dict[str, Any]:
    return {"name": name, "words": words, "when": when, "view": view, "target": target}


def _finding(one: Document) -> dict[str, Any]:
    words = f"{one['holds']}: {one['said'][0] if one['said'] else one['words']}"
    view = {"parcel": "ground", "device": "gear", "person": "settings"}.get(one["subject"], "record")
    return _item(one["name"], words, one["due_at"], view, one["name"])


def _once(findings: Sequence[Document]) -> list[Document]:
    """Give the first finding of each rule: what is not verified is so for every set alike."""
    return list({(one["profile"], one["rule"]): one for one in reversed(findings)}.values())[::-1]


def _within(hours: float | None) -> bool:
    return hours is not None and hours <= SOON_H


def _at(row: Document) -> str:
    return f", {row['landmark']}" if row["landmark"] else ""


def _counted(found: Sequence[Any] | range, one: str, many: str) -> list[str]:
    return [f"{len(found)} {one if len(found) == 1 else many}"] if len(found) else []
