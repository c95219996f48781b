"""Owns the arguments of `tendline paper`.

Does not own the job (`jobs.paper`).
"""

from typing import Any

import click

from tendline.cli.common import Call, common
from tendline.cli.paper_options import days_options, named, out_option
from tendline.cli.round_options import asked_from, round_options, stopping, teller


@click.group()
def command() -> None:
    """Write a paper into the line's papers/ folder."""


@command.command("route-card")
@click.option("--out", metavar="FILE", help="Where to write the PDF.")
@round_options
@common
def card(call: Call, *, out: str | None, **options: Any) -> int:
    """Write the route card of one outing: order, times, limits, boxes to fill in with a pencil."""
    from tendline.jobs.paper import route_card

    with stopping() as should_stop:
        answer = route_card(
            call.workspace(), asked_from(options), out=out, tell=teller(), should_stop=should_stop
        )
    return call.show(answer)


@command.command("finder-sheet")
@click.option("--sets", multiple=True, metavar="A,B,..", help="Only these sets; all in the field otherwise.")
@click.option(
    "--call", "calls", multiple=True, metavar="WHO:NUMBER", help="Whom to call; may be given several times."
)
@out_option
@common
def finder(call: Call, *, sets: tuple[str, ...], calls: tuple[str, ...], out: str | None) -> int:
    """Write the sheet by which another person reaches and takes up every device, from paper alone."""
    from tendline.jobs.paper_finder import finder_sheet

    return call.show(finder_sheet(call.workspace(), sets=named(sets), calls=calls, out=out, tell=teller()))


@command.command("farm-sheet")
@click.argument("parcels", nargs=-1)
@out_option
@common
def farm(call: Call, *, parcels: tuple[str, ...], out: str | None) -> int:
    """Write the sheet of one property, of several, or of all: map, houses, parkings, leave, sets."""
    from tendline.jobs.paper_farm import farm_sheet

    return call.show(farm_sheet(call.workspace(), parcels=named(parcels), out=out, tell=teller()))


@command.command("set-card")
@click.argument("sets", nargs=-1)
@out_option
@common
def shed(call: Call, *, sets: tuple[str, ...], out: str | None) -> int:
    """Write cards for the shed: build, tag, anchor, heights, what stands within reach, history."""
    from tendline.jobs.paper_cards import set_card

    return call.show(set_card(call.workspace(), sets=named(sets), out=out))


@command.command("incident")
@click.option("--set", "set_name", metavar="NAME", help="Fill in what is on record of this set.")
@out_option
@common
def incident(call: Call, *, set_name: str | None, out: str | None) -> int:
    """Write an incident form: dog, other animal, person, theft, damage."""
    from tendline.jobs.paper_cards import incident_form

    return call.show(incident_form(call.workspace(), set_name=set_name, out=out))


@command.command("warden")
@click.option("--parcels", multiple=True, metavar="A,B,..", help="Only devices on these parcels.")
@out_option
@common
def warden(call: Call, *, parcels: tuple[str, ...], out: str | None) -> int:
    """Write the sheet for an officer: papers held, tags, builds, heights, last looks, leave."""
    from tendline.jobs.paper_cards import warden_sheet

    return call.show(warden_sheet(call.workspace(), parcels=named(parcels), out=out))


@command.command("landowner")
@click.argument("parcel")
@days_options
@out_option
@common
def landowner(call: Call, *, parcel: str, first: str | None, last: str | None, out: str | None) -> int:
    """Write the note for one owner: visits, animals, incidents, devices out; their own ground alone."""
    from tendline.jobs.paper_farm import landowner_note

    return call.show(landowner_note(call.workspace(), parcel, first=first, last=last, out=out))


@command.command("agency")
@days_options
@out_option
@common
def agency(call: Call, *, first: str | None, last: str | None, out: str | None) -> int:
    """Write the return for the agency: animals, counties, methods, effort; blanks where unknown."""
    from tendline.jobs.paper_returns import agency_return

    return call.show(agency_return(call.workspace(), first=first, last=last, out=out))


@command.command("fur-list")
@click.option("--species", multiple=True, metavar="NAME", help="Only this kind; may be given several times.")
@days_options
@out_option
@common
def fur(call: Call, *, species: tuple[str, ...], first: str | None, last: str | None, out: str | None) -> int:
    """Write the list for a fur buyer: animals kept, with room for grade and price."""
    from tendline.jobs.paper_returns import fur_list

    return call.show(fur_list(call.workspace(), species=species, first=first, last=last, out=out))


@command.command("damage")
@click.argument("parcel")
@days_options
@out_option
@common
def damage(call: Call, *, parcel: str, first: str | None, last: str | None, out: str | None) -> int:
    """Write the damage report for one client: days, animals, effort, losses to fill in."""
    from tendline.jobs.paper_returns import damage_report

    return call.show(damage_report(call.workspace(), parcel, first=first, last=last, out=out))


@command.command("invoice")
@click.argument("parcel")
@click.option("--item", "items", multiple=True, required=True, metavar="WHAT;NUMBER;EACH", help="A line.")
@click.option("--number", default="", help="Number of the invoice.")
@click.option("--currency", default="", metavar="WORD", help="As it is to stand on it.")
@days_options
@out_option
@common
def bill(call: Call, *, parcel: str, items: tuple[str, ...], **options: Any) -> int:
    """Write an invoice for one client from lines as entered."""
    from tendline.jobs.paper_returns import invoice

    return call.show(invoice(call.workspace(), parcel, items=items, **options))


@command.command("study")
@days_options
@out_option
@common
def study(call: Call, *, first: str | None, last: str | None, out: str | None) -> int:
    """Write the forms of a study: device-nights, contacts, a form for each animal held."""
    from tendline.jobs.paper_returns import study_forms

    return call.show(study_forms(call.workspace(), first=first, last=last, out=out))


@command.command("season")
@click.option("--season", "name", default="", metavar="YEARS", help="2026-27, July to June; else this one.")
@click.option("--from", "first", metavar="DAY", help="First day told; else the first of July.")
@click.option("--to", "last", metavar="DAY", help="Last day told; else the last of June.")
@out_option
@common
def season(call: Call, *, name: str, first: str | None, last: str | None, out: str | None) -> int:
    """Write the season's review: the figures of `tendline season` with their ranges and plots, and counts."""
    from tendline.jobs.paper_returns import season_review
    from tendline.jobs.season import AskedSeason

    asked = AskedSeason(season=name, first=first or "", last=last or "")
    return call.show(season_review(call.workspace(), asked, out=out))
