"""Owns the arguments of `tendline note`: one sub-command per kind of event, made from the table of kinds.

Does not own the jobs (`jobs.note`, `jobs.correct`, `jobs.history`).
"""

from typing import Any

import click

from tendline.cli.common import Call, common
from tendline.jobs.note_help import KindHelp, kinds_help


@click.group(invoke_without_command=False)
def command() -> None:
    """Record an event by hand. Nothing is ever erased: corrections and voids are events too."""


@command.command("list")
@click.argument("about", required=False)
@click.option("--kind", help="Only this kind of event.")
@click.option("--last", type=click.IntRange(min=1), help="Only so many, the newest.")
@common
def list_events(call: Call, about: str | None, kind: str | None, last: int | None) -> int:
    """List what is on record, for the whole line or for one set, tag, parcel or parking."""
    from tendline.jobs.history import history

    return call.show(history(call.workspace(), about=about, kind=kind, last=last))


@command.command("correction")
@click.argument("event")
@click.option(
    "--set", "changes", multiple=True, metavar="FIELD=VALUE", help="New value; 'none' takes it away."
)
@click.option("--happened-at", metavar="WHEN", help="When it really happened.")
@click.option("--place", metavar="LON,LAT", help="Where it really was.")
@click.option("--why", required=True, help="The reason.")
@click.option("--by", default="", help="Who says so.")
@common
def correction(
    call: Call,
    *,
    event: str,
    changes: tuple[str, ...],
    happened_at: str | None,
    place: str | None,
    why: str,
    by: str,
) -> int:
    """Say that an earlier event was wrong. The old values stay on record."""
    from tendline.jobs.correct import correct

    pairs = [change.partition("=") for change in changes]
    if not all(sign for _, sign, _ in pairs):
        raise click.BadParameter("write FIELD=VALUE", param_hint="--set")
    given = {key.strip(): value.strip() for key, _, value in pairs}
    return call.show(
        correct(call.workspace(), event, changes=given, happened_at=happened_at, place=place, why=why, by=by)
    )


def _sub_command(kind: KindHelp) -> click.Command:
    def run(call: Call, subjects: tuple[str, ...], **given: Any) -> int:
        from tendline.jobs.note import note

        happened, place, by = given.pop("happened_when"), given.pop("at_place"), given.pop("said_by")
        fine = given.pop("fine", False)
        written = {name.removeprefix("field_"): text for name, text in given.items() if text is not None}
        return call.show(
            note(
                call.workspace(),
                kind.name,
                subjects=subjects,
                given=written,
                happened=happened,
                place=place,
                by=by,
                fine=fine,
            )
        )

    params: list[click.Parameter] = [click.Argument(["subjects"], nargs=-1, metavar=kind.subject_word)]
    params += [
        click.Option([f"--{option.name}", f"field_{option.field}"], help=option.help, metavar=option.metavar)
        for option in kind.options
    ]
    params += [
        click.Option(
            ["--happened", "happened_when"], metavar="WHEN", help="When it happened; now if left out."
        ),
        click.Option(["--at-place", "at_place"], metavar="LON,LAT", help="Where; add ,METRES for accuracy."),
        click.Option(["--by", "said_by"], default="", help="Who says so; the handler if left out."),
    ]
    if kind.name == "check":
        params.append(
            click.Option(["--fine"], is_flag=True, help="Working, nothing happened, looked, left working.")
        )
    made = click.Command(kind.name, callback=common(run), params=params, help=kind.help)
    made.params = made.params + list(getattr(made.callback, "__click_params__", []))
    return made


for _kind in kinds_help():
    command.add_command(_sub_command(_kind))
