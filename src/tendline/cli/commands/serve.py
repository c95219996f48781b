"""Owns the arguments of `tendline serve`, and what it says while it runs.

Does not own the job (`jobs.serve`) or the server (`server`).
"""

import contextlib
import json
import sys
import webbrowser
from typing import TYPE_CHECKING, Any

import click

from tendline.cli.common import Call, common
from tendline.cli.round_options import asked_from, round_options, teller

if TYPE_CHECKING:
    from tendline.jobs.serve import Desk
    from tendline.server.run import Address


@click.command()
@click.option("--lan", is_flag=True, help="Open it to phones on the local network, over TLS.")
@click.option("--name", default="", help="A stable private name of this machine there: field.local.")
@click.option("--port", type=click.IntRange(1024, 65534), default=8765, show_default=True)
@click.option("--for", "person", default="", help="Whose phone is paired; the handler if left out.")
@click.option("--export", "folder", metavar="FOLDER", help="Write the page as files for any https host.")
@click.option("--phones", is_flag=True, help="List the paired phones.")
@click.option("--open", "opens", is_flag=True, help="Open the desk page in this machine's browser.")
@click.option("--revoke", metavar="PHONE", help="Let a phone in no more.")
@round_options
@common
def command(
    call: Call,
    *,
    lan: bool,
    name: str,
    port: int,
    person: str,
    folder: str | None,
    phones: bool,
    revoke: str | None,
    opens: bool,
    **options: Any,
) -> int:
    """Open the field page: tomorrow's round on a phone, without a signal once it was seen.

    On this machine only, unless --lan. Nobody is let in without the pairing code, which is good for one phone
    and five minutes. Ctrl-C stops it.
    """
    from tendline.jobs import phones as paired
    from tendline.jobs.serve import open_desk

    if phones:
        return call.show(paired.list_phones(call.workspace()))
    if revoke is not None:
        return call.show(paired.revoke(call.workspace(), revoke))
    desk = open_desk(call.line, at=call.at, units=call.units, asked=asked_from(options))
    if folder is not None:
        from tendline.server.export import export

        desk.plan(tell=teller())
        return call.show(export(desk, folder))
    return _run(call, desk, person=person, lan=lan, name=name, port=port, opens=opens)


def _run(call: Call, desk: "Desk", *, person: str, lan: bool, name: str, port: int, opens: bool) -> int:
    from tendline.server.run import Running, addresses, pairing_url, plan_meanwhile

    where = addresses(desk, port=port, lan=lan, name=name)
    running = Running(desk, where)
    shown = where[-1]
    offer = desk.offer(person)
    url = pairing_url(shown, offer.word)
    own = pairing_url(where[0], desk.offer(person, desk=True).word, page="desk")
    if desk.begun:
        plan_meanwhile(desk, lambda said: click.echo(f"Round: {said}", err=True), running.warm)

    def ready() -> None:
        if call.as_json:
            told = {
                "addresses": [a.url for a in where],
                "pair": url,
                "desk": own,
                "until": offer.until.isoformat(),
            }
            click.echo(json.dumps(told))
        else:
            _say(where, url, own)
        if opens:
            webbrowser.open(own)
        sys.stdout.flush()

    with contextlib.suppress(KeyboardInterrupt):
        running.serve(ready)
    click.echo("Stopped. What phones had sent is on the disk.", err=True)
    return 0


def _say(where: "list[Address]", url: str, own: str) -> None:
    from tendline.server.run import code_text

    shown = where[-1]
    click.echo(f"The desk page, for one browser on this machine within five minutes:\n  {own}")
    click.echo(f"The field page: {', '.join(address.url for address in where)}")
    if shown.keys is None:
        click.echo("On this machine only. For phones: --lan, or --export FOLDER.")
    else:
        click.echo(
            "A phone must trust this machine first, once: see docs/how-to/serve.md. Its certificate:\n"
            f"  {shown.url}ca.crt\n  SHA-256 {shown.keys.fingerprint}"
        )
    click.echo(f"\nPair one phone within five minutes (call again for another):\n\n{code_text(url)}\n{url}\n")
    click.echo("Ctrl-C stops it.")
